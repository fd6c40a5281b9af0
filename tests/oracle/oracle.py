"""A second opinion: cases as JSON on standard input, answers as JSON on standard output.

Values by numeric quadrature and root finding (scipy), derivatives by differences of fourth
order, uncertainties by the `uncertainties` package, least squares by scipy's on whitened
residuals."""

import json
import sys

import numpy as np
from scipy.optimize import fsolve, least_squares
from scipy.stats import chi2
from uncertainties import ufloat

from metal import read, stated_metal, traced_metal


def combined(function, values, sources, step):
    """Value and u of a function of `values`; each source is (u, places that it moves alike)."""
    values = np.asarray(values, float)
    total = function(values)

    def at(places, by):
        moved = values.copy()
        moved[places] += by
        return function(moved)

    result = 0
    for u, places in sources:
        if u > 0:
            h = step * max(1.0, abs(values[places[0]])) ** 0.5
            slope = (8 * (at(places, h) - at(places, -h)) - (at(places, 2 * h) - at(places, -2 * h))) / (12 * h)
            result += slope * ufloat(0.0, u)
    return {"value": total, "u": getattr(result, "std_dev", 0.0)}


def section(case):
    metal = stated_metal(case["figures"])
    return [{"value": read(metal, *method)} for method in case["methods"]]


def whole(crest, depth, throat, form):
    return [crest, depth, throat, *form, 0.0, 1.0, 2 * throat, 50.0, 1.0, crest + 5, 1.0, 9.0, 0.05, 20.0]


def pinned(case):
    """A rim and a cup reading, a throat and the form: solved, then read by each method."""
    rim, cup = case["rim"], case["cup"]
    values = [rim["value"], cup["value"], case["throat"][0], *(value for value, _ in case["form"])]
    us = [rim["u"], cup["u"], case["throat"][1], *(u for _, u in case["form"])]

    def solved(inputs):
        form = list(inputs[3:])
        residuals = lambda x: [
            read(stated_metal(whole(x[0], x[1], inputs[2] / 2, form)), *rim["method"]) - inputs[0],
            (read(stated_metal(whole(x[0], x[1], inputs[2] / 2, form)), *cup["method"]) - inputs[1]) / cup["scale"],
        ]
        x, _, found, why = fsolve(residuals, case["start"], xtol=1e-13, full_output=True)
        assert max(map(abs, residuals(x))) < 1e-9, why
        return stated_metal(whole(x[0], x[1], inputs[2] / 2, form))

    sources = [(u, [place]) for place, u in enumerate(us)]
    return [combined(lambda inputs: read(solved(inputs), *method), values, sources, 1e-4) for method in case["methods"]]


def traced(case):
    depths = [z for z, _, _ in case["points"]]
    count = len(depths)
    values = [d for _, d, _ in case["points"]] + [z for z, _ in case["marks"]]
    sources = [(u, [place]) for place, (_, _, u) in enumerate(case["points"])]
    sources += [(u, [count + place]) for place, (_, u) in enumerate(case["marks"])]
    sources.append((case["gauge_u"], list(range(count))))
    metal = lambda inputs: traced_metal(list(zip(depths, inputs[:count])), inputs[count:])
    return [combined(lambda inputs: read(metal(inputs), *method), values, sources, 1e-5) for method in case["methods"]]


def weighed(case):
    """More readings than unknowns: sizes and form move, each input by its u."""
    readings, form = case["readings"], case["form"]

    def residuals(x):
        metal = stated_metal(whole(x[0], x[1], x[2] / 2, list(x[3:9])))
        stated = [(read(metal, *one["method"]) - one["value"]) / one["u"] for one in readings]
        prior = [(x[3 + place] - value) / u for place, (value, u) in enumerate(form)]
        return stated + prior

    start = case["start"] + [value for value, _ in form]
    found = least_squares(residuals, start, x_scale=np.maximum(np.abs(start), 0.1), xtol=1e-15, ftol=1e-15, gtol=1e-13, jac="3-point")
    freedom = len(readings) - 3
    metal = stated_metal(whole(found.x[0], found.x[1], found.x[2] / 2, list(found.x[3:9])))
    return [{"value": read(metal, *method)} for method in case["methods"]] + [
        {"value": 2 * found.cost}, {"value": float(chi2.sf(2 * found.cost, freedom))},
    ]


KINDS = {"section": section, "pinned": pinned, "traced": traced, "weighed": weighed}
json.dump([KINDS[case["kind"]](case) for case in json.load(sys.stdin)], sys.stdout)
