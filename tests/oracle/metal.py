"""The metal, formulated a second time: r(z) in Cartesian circles and lines, with numeric
quadrature and root finding in place of closed forms. Lengths in mm, angles in radians."""

from math import cos, pi, radians, sin, sqrt, tan

import numpy as np
from numpy.polynomial.legendre import leggauss
from scipy.integrate import quad
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

TIGHT = {"epsabs": 1e-13, "epsrel": 1e-12, "limit": 200}
ROOT = {"xtol": 1e-14, "rtol": 1e-14}


class Metal:
    """A bore r(z) with its corners, and what is known beyond it."""

    def __init__(self, radius, slope, corners, seam, throat_depth, curve=None, **beyond):
        self.radius, self.slope, self.corners = radius, slope, sorted(corners)
        self.curve = curve
        self.seam, self.throat_depth, self.beyond = seam, throat_depth, beyond

    def integral(self, power, top, bottom, radius=None):
        radius = radius or self.radius
        inner = [z for z in self.corners if top < z < bottom]
        ends = [top, *inner, bottom]
        if self.curve is not None:
            # Powers of cubics: Gauss and Legendre's rule of four points is exact.
            nodes, weights = leggauss(4)
            a, b = np.array(ends[:-1])[:, None], np.array(ends[1:])[:, None]
            half = 0.5 * (b - a)
            return float(np.sum(half * weights * self.curve(a + half * (nodes + 1)) ** power))
        # A square-root end is smooth in the square of the way to it.
        def part(a, b):
            middle = 0.5 * (a + b)
            down = lambda s: radius(a + s * s) ** power * 2 * s
            up = lambda s: radius(b - s * s) ** power * 2 * s
            return quad(down, 0, sqrt(middle - a), **TIGHT)[0] + quad(up, 0, sqrt(b - middle), **TIGHT)[0]
        return sum(part(a, b) for a, b in zip(ends, ends[1:]))

    def at_tangent(self, degrees):
        wanted = -tan(radians(degrees))
        ends = [z for z in self.corners if z <= self.seam]
        for a, b in zip(ends, ends[1:]):
            steps = [a + (b - a) * (k + 1e-9) / 40 for k in range(41)]
            for one, other in zip(steps, steps[1:]):
                other = min(other, b - 1e-12)
                if self.slope(one) < wanted <= self.slope(other):
                    return self.radius(brentq(lambda z: self.slope(z) - wanted, one, other, **ROOT))
        raise ValueError(f"no tangent of {degrees} degrees")

    def at_radius(self, wanted, top, bottom, radius=None):
        radius = radius or self.radius
        return brentq(lambda z: radius(z) - wanted, top, bottom, **ROOT)


def stated_metal(figures):
    """From the nineteen figures of a shape, all known."""
    (crest_radius, depth, throat, crest, edge, join, wall, seam, form, step,
     throat_length, exit_radius, bore_length, power, outer, flat, end, growth, shank) = figures
    # Circle of the crest's rounding: centre (crest_radius, crest), top at the crest plane.
    meet = (crest_radius - crest * cos(join), crest * (1 - sin(join)))
    # Circle of the edge: its centre lies on the line from the other through the meeting point.
    centre = (meet[0] + edge * cos(join), meet[1] + edge * sin(join))
    leave = (centre[0] - edge * cos(wall), centre[1] - edge * sin(wall))
    rim_end = leave[0] - (seam - leave[1]) * tan(wall)
    mouth = rim_end + step

    def radius(z):
        if z < meet[1]:
            return crest_radius - sqrt(max(crest**2 - (crest - z) ** 2, 0.0))
        if z < leave[1]:
            return centre[0] - sqrt(edge**2 - (centre[1] - z) ** 2)
        if z <= seam:
            return leave[0] - (z - leave[1]) * tan(wall)
        t = (z - seam) / (depth - seam)
        return throat + (mouth - throat) * ((1 - form) * (1 - t) + form * sqrt(max(1 - t * t, 0.0)))

    def slope(z):
        if z < meet[1]:
            return -(crest - z) / sqrt(crest**2 - (crest - z) ** 2)
        if z < leave[1]:
            return -(centre[1] - z) / sqrt(edge**2 - (centre[1] - z) ** 2)
        return -tan(wall)

    bore = lambda z: throat + (exit_radius - throat) * (z / bore_length) ** power
    return Metal(
        radius, slope, [0.0, meet[1], leave[1], seam, depth], seam, depth, rim_end=rim_end,
        crest_radius=crest_radius, throat=throat, throat_length=throat_length, bore=bore,
        bore_ends=(0.0, bore_length), exit=exit_radius, outer=outer, flat=flat, end=end,
        growth=growth, shank=shank, edge=edge,
    )


def traced_metal(points, marks):
    """From measured points (depth, diameter) and the depths of seam, throat, its end and exit."""
    depths = [z for z, _ in points]
    curve = PchipInterpolator(depths, [d / 2 for _, d in points])
    slope = curve.derivative()
    seam, throat, throat_end, exit_at = marks
    radius = lambda z: float(curve(z))
    within = [z for z in depths if throat <= z <= throat_end]
    narrowest = min(radius(z) for z in [*np.linspace(throat, throat_end, 101), *within])
    return Metal(
        radius, lambda z: float(slope(z)), depths, seam, throat, curve=curve, rim_end=radius(seam),
        crest_radius=radius(0.0), throat=narrowest, throat_length=throat_end - throat,
        bore=radius, bore_ends=(throat_end, exit_at), exit=radius(exit_at),
    )


def read(metal, functional, given):
    """What a method of `tables/methods.yml` reads, by the words of its functional."""
    beyond = metal.beyond
    top = metal.seam if given["from"] == "seam" else 0.0
    mouth = lambda: {
        "crest": lambda: beyond["crest_radius"],
        "inner edge": lambda: metal.at_tangent(45.0),
        "seam": lambda: beyond["rim_end"],
    }[given["across"]]()
    bore = lambda power: metal.integral(power, *beyond["bore_ends"], radius=beyond["bore"])
    bore_length = lambda: beyond["bore_ends"][1] - beyond["bore_ends"][0]
    table = {
        "rim at the crest": lambda: 2 * beyond["crest_radius"],
        "rim at a tangent": lambda: 2 * metal.at_tangent(given["angle_deg"]),
        "rim at the seam": lambda: 2 * beyond["rim_end"],
        "rim at a depth": lambda: 2 * metal.radius(given["at_mm"]),
        "depth at a diameter": lambda: metal.at_radius(given["diameter_mm"] / 2, *given["within"]) - top,
        "depth at the centre": lambda: metal.throat_depth - top,
        "depth by the section": lambda: metal.integral(1, top, metal.throat_depth) / mouth(),
        "depth by the area": lambda: metal.integral(2, top, metal.throat_depth) / mouth() ** 2,
        "volume": lambda: pi * metal.integral(2, top, metal.throat_depth),
        "throat": lambda: 2 * beyond["throat"],
        "length of the throat": lambda: beyond["throat_length"],
        "mean bore": lambda: 2 * bore(1) / bore_length(),
        "bore by volume": lambda: 2 * sqrt(bore(2) / bore_length()),
        "exit": lambda: 2 * beyond["exit"],
        "length of the backbore": bore_length,
        "plug in the backbore": lambda: beyond["bore_ends"][1]
        - metal.at_radius(given["plug_mm"] / 2, *beyond["bore_ends"], radius=beyond["bore"]),
        "outside of the rim": lambda: 2 * beyond["outer"],
        "width of the rim": lambda: given["sides"] * (beyond["outer"] - mouth()),
        "width of the rim at a depth": lambda: given["sides"] * (beyond["outer"] - metal.radius(given["at_mm"])),
        "radius of the edge": lambda: beyond["edge"],
        "flat of the cushion": lambda: beyond["flat"],
        "cushion at a depth": lambda: beyond["crest_radius"] + beyond["flat"]
        + chord(beyond["outer"] - beyond["crest_radius"] - beyond["flat"], given["at_mm"])
        - metal.radius(given["at_mm"]),
        "shank at a distance": lambda: 2 * beyond["end"] + beyond["growth"] * given["distance_mm"],
        "taper of the shank": lambda: beyond["growth"] * given["over_mm"],
        "length of the shank": lambda: beyond["shank"],
        "insertion": lambda: (given["receiver_mm"] - 2 * beyond["end"])
        / max(beyond["growth"], given["narrows_mm"] / given["over_mm"]),
    }
    return table[functional]()


def chord(rho, down):
    return sqrt(rho**2 - (rho - down) ** 2)
