//! Invented pieces of which the truth is known, to see how often a stated interval holds it.
//!
//! A population is a maker's: its contour figures with their limits, its sizes, how it prints and
//! how well it turns. A piece is drawn whole (contour, size, turning), measured by every
//! method on its true profile, and then told only as the maker would: two printed figures. The
//! figures are carried to every other method along one kind of route at a time.

use std::collections::BTreeMap;
use std::sync::Arc;

use counterbore::method::{
    AtTheCounter, Functional, Method, MethodRow, Methods, Parameters, Quantity,
};
use counterbore::pairs::{Pair, fit};
use counterbore::profile::{Class, Contour, ContourFigure, Trace, TraceFigures, TracePoint};
use counterbore::route::{Correction, Declared, Measured, Paired, Piece, RouteKind, Stated};
use counterbore::uncertainty::{
    Basis, Distribution, Draw, Estimate, Expanded, Source, monte_carlo,
};
use counterbore::unit::Spread;

/// Six contour figures as values and half-widths, in the order of [`ContourFigure::ALL`].
type Figures = [(f64, f64); 6];

/// A maker, invented.
pub struct Population {
    name: &'static str,
    figures: Figures,
    /// How its true figures lie within their limits.
    spread: Distribution,
    /// Diameters at the seam, mm.
    rims: (f64, f64),
    /// Depths at the centre, mm.
    cups: (f64, f64),
    /// Printed steps of rim and cup, mm.
    steps: (f64, f64),
    /// Half-width of the turning tolerance, mm.
    tolerance: f64,
    throat: f64,
    /// How its pieces are traced.
    tracing: Tracing,
}

/// How a shop takes a trace, invented.
struct Tracing {
    /// Distances of its points on the rim and in the cup, mm.
    steps: (f64, f64),
    /// Standard uncertainty of each diameter by itself, and that of the gauge, mm.
    u: (f64, f64),
    /// Standard uncertainty of the depths of seam and throat, mm.
    mark_u: f64,
}

/// Invented. Two of trumpet size, one of trombone size.
pub const POPULATIONS: [Population; 3] = [
    Population {
        name: "fine",
        figures: [
            (2.2, 0.1),
            (0.9, 0.08),
            (1.08, 0.04),
            (0.2, 0.02),
            (2.4, 0.05),
            (0.7, 0.04),
        ],
        spread: Distribution::Rectangular,
        rims: (15.5, 17.0),
        cups: (10.5, 13.0),
        steps: (0.1, 0.2),
        tolerance: 0.03,
        throat: 3.66,
        tracing: Tracing {
            steps: (0.1, 0.25),
            u: (0.004, 0.004),
            mark_u: 0.02,
        },
    },
    Population {
        name: "coarse",
        figures: [
            (1.8, 0.25),
            (0.6, 0.15),
            (1.0, 0.08),
            (0.15, 0.05),
            (2.1, 0.15),
            (0.5, 0.1),
        ],
        spread: Distribution::Triangular,
        rims: (15.0, 17.5),
        cups: (10.0, 12.5),
        steps: (0.25, 0.5),
        tolerance: 0.05,
        throat: 3.7,
        tracing: Tracing {
            steps: (0.3, 1.0),
            u: (0.01, 0.01),
            mark_u: 0.05,
        },
    },
    Population {
        name: "large",
        figures: [
            (3.0, 0.15),
            (1.2, 0.1),
            (1.05, 0.05),
            (0.2, 0.03),
            (3.2, 0.1),
            (0.6, 0.06),
        ],
        spread: Distribution::Rectangular,
        rims: (24.0, 26.5),
        cups: (20.0, 25.0),
        steps: (0.1, 0.5),
        tolerance: 0.05,
        throat: 6.8,
        tracing: Tracing {
            steps: (0.2, 0.8),
            u: (0.006, 0.01),
            mark_u: 0.03,
        },
    },
];

/// The generic class of the simulation, invented: a maker of whose form nothing is known.
const CLASS: Population = Population {
    name: "class",
    figures: [
        (2.2, 0.4),
        (0.9, 0.25),
        (1.08, 0.1),
        (0.2, 0.06),
        (2.4, 0.3),
        (0.6, 0.2),
    ],
    spread: Distribution::Rectangular,
    rims: (15.5, 17.0),
    cups: (10.5, 13.0),
    steps: (0.1, 0.2),
    tolerance: 0.03,
    throat: 3.66,
    tracing: Tracing {
        steps: (0.2, 0.5),
        u: (0.01, 0.01),
        mark_u: 0.02,
    },
};

/// The kinds of route that are tried.
pub const KINDS: [RouteKind; 5] = [
    RouteKind::Traced,
    RouteKind::Paired,
    RouteKind::Declared,
    RouteKind::Contour,
    RouteKind::Generic,
];

const RIMS: [&str; 4] = [
    "rim at the crest",
    "rim at a tangent",
    "rim at the seam",
    "rim at a depth at 1.2 mm",
];
const CUPS: [&str; 4] = [
    "depth at the centre",
    "depth at the centre from seam",
    "depth by the section across inner edge",
    "depth by the area from seam across seam",
];

/// All methods of the simulation, rims first.
pub struct Gauges(Vec<Method>);

impl Gauges {
    /// Made of every functional, without a table.
    pub fn new() -> Self {
        let row = |(functional, name, quantities): &(Functional, &str, &[Quantity])| {
            let of = |quantity: &Quantity| MethodRow {
                quantity: *quantity,
                name: (*name).into(),
                functional: *functional,
                says: String::new(),
                neutral: false,
                reading: None,
                source: "invented".into(),
                defaults: Parameters::default(),
                at_the_counter: AtTheCounter::default(),
            };
            quantities.iter().map(of).collect::<Vec<_>>()
        };
        let methods = Methods::new(Functional::ALL.iter().flat_map(row).collect());
        let named = |quantity: Quantity, name: &str| methods.parse(quantity, name).unwrap();
        let rims = RIMS
            .iter()
            .map(|name| named(Quantity::RimInnerDiameter, name));
        let cups = CUPS.iter().map(|name| named(Quantity::CupDepth, name));
        Self(rims.chain(cups).collect())
    }

    fn of(&self, quantity: Quantity) -> impl Iterator<Item = &Method> {
        self.0
            .iter()
            .filter(move |method| method.quantity() == quantity)
    }
}

/// Errors of one piece, by name.
struct Chance(Draw);

impl Chance {
    /// A standardised error; the same name is the same error.
    fn error(&self, name: &str, distribution: Distribution) -> f64 {
        self.0.of(&Source::new(name, name, distribution)) / distribution.divisor()
    }

    /// Anywhere from low to high.
    fn between(&self, name: &str, (low, high): (f64, f64)) -> f64 {
        let middle = 0.5 * (low + high);
        middle + 0.5 * (high - low) * self.error(name, Distribution::Rectangular)
    }

    /// One of so many.
    fn choice(&self, name: &str, count: usize) -> usize {
        (self.between(name, (0.0, count as f64)) as usize).min(count - 1)
    }
}

fn source(key: String, distribution: Distribution) -> Arc<Source> {
    Arc::new(Source::new(key.clone(), key, distribution))
}

/// A piece of metal: what every method reads on it.
struct Truth {
    piece: Piece,
}

impl Truth {
    /// None where chance draws metal that cannot be.
    fn drawn(population: &Population, gauges: &Gauges, chance: &Chance) -> Option<Self> {
        let figure = |which: ContourFigure| {
            let (value, half_width) = population.figures[which as usize];
            // Errors have u of one half-width over the divisor, so limits are met.
            Estimate::exact(value + half_width * chance.error(which.name(), population.spread))
        };
        let stated = |method: &Method, value: f64| Stated {
            method: method.clone(),
            estimate: Estimate::exact(value),
            given: "".into(),
            source: "".into(),
        };
        let seam = stated(&gauges.0[2], chance.between("rim", population.rims));
        let centre = stated(
            &gauges.0[RIMS.len()],
            chance.between("cup", population.cups),
        );
        let contour = Contour::new(
            ContourFigure::ALL.map(figure),
            Some(Estimate::exact(population.throat)),
        );
        let piece = Piece::new(vec![seam, centre], Some(contour), &[]);
        piece.profile()?;
        Some(Self { piece })
    }

    /// The depths of seam and throat.
    fn marks(&self) -> Option<(f64, f64)> {
        let section = self.piece.profile()?.shape().section();
        Some((section.seam_depth(), section.throat_depth()?))
    }

    /// The bore at a depth, in the throat too.
    fn diameter(&self, depth: f64) -> Option<f64> {
        let section = self.piece.profile()?.shape().section();
        let reaches = depth.min(section.throat_depth()?);
        Some(2.0 * section.radius_at(reaches)?)
    }

    fn reads(&self, method: &Method) -> f64 {
        self.piece.carry(method).best().unwrap().estimate.value()
    }
}

impl Population {
    fn contour(&self, generic: bool) -> Contour {
        if generic {
            let class = Class {
                name: self.name.into(),
                source: "invented".into(),
                says: String::new(),
                figures: self.figures,
                throat: (self.throat, 0.0),
            };
            let figures = ContourFigure::ALL.map(|which| class.figure(which, self.name));
            return Contour::new(figures, Some(Estimate::exact(self.throat)));
        }
        let figure = |which: ContourFigure| {
            let (value, half_width) = self.figures[which as usize];
            let key = format!("{}/{}", self.name, which.name());
            Estimate::new(
                value,
                half_width / self.spread.divisor(),
                source(key, self.spread),
            )
        };
        Contour::new(
            ContourFigure::ALL.map(figure),
            Some(Estimate::exact(self.throat)),
        )
    }

    /// As the maker prints it: meant on a printed step, turned within the tolerance; the metal reads
    /// `truth`, and nobody says how far it is off.
    fn printed(&self, method: &Method, truth: f64, chance: &Chance) -> Stated {
        let (step, what) = match method.quantity() {
            Quantity::RimInnerDiameter => (self.steps.0, "turned rim"),
            _ => (self.steps.1, "turned cup"),
        };
        let meant = truth - self.tolerance * chance.error(what, Distribution::Rectangular);
        let printed = (meant / step).round() * step;
        let part = |name: &str, half_width: f64| {
            let key = format!("{what}/{name}");
            Estimate::rectangular(0.0, half_width, source(key, Distribution::Rectangular))
        };
        let (digits, turning) = (
            part("digits", 0.5 * step),
            part("tolerance", self.tolerance),
        );
        Stated {
            method: method.clone(),
            estimate: Estimate::linear(printed, &[(1.0, &digits), (1.0, &turning)]),
            given: "".into(),
            source: "".into(),
        }
    }

    /// As a shop traces it: from the crest down, denser on the rim, to the throat and a little into it.
    /// Nobody hits a corner of the metal with a point.
    fn traced(&self, truth: &Truth, chance: &Chance) -> Option<Trace> {
        let Tracing { steps, u, mark_u } = self.tracing;
        let (seam, throat) = truth.marks()?;
        let gauge = u.1 * chance.error("gauge", Distribution::Normal);
        let mut depths = vec![0.0, steps.0 * chance.between("first", (0.2, 1.0))];
        while let Some(last) = depths.last().filter(|last| **last < throat + steps.1) {
            depths.push(last + if *last < seam { steps.0 } else { steps.1 });
        }
        let point = |(place, depth): (usize, &f64)| {
            let own = u.0 * chance.error(&format!("point {place}"), Distribution::Normal);
            Some(TracePoint {
                depth: *depth,
                diameter: truth.diameter(*depth)? + own + gauge,
                u: u.0,
            })
        };
        let mark = |name: &str, depth: f64| {
            let read = depth + mark_u * chance.error(name, Distribution::Normal);
            Some((read, Spread::Standard { u: mark_u }))
        };
        Trace::new(TraceFigures {
            key: "trace".into(),
            points: depths
                .iter()
                .enumerate()
                .map(point)
                .collect::<Option<_>>()?,
            gauge_u: u.1,
            depth_u: 0.0,
            marks: [mark("seam", seam), mark("throat", throat), None, None],
            source: "invented".into(),
        })
        .ok()
    }

    /// What a maker would declare: the middle of the offsets of many pieces, and limits that hold
    /// all of them.
    fn declared(&self, from: &Method, to: &Method, pieces: &[Truth]) -> Correction {
        let offsets = pieces
            .iter()
            .map(|piece| piece.reads(to) - piece.reads(from));
        let (low, high) = offsets.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), one| {
            (low.min(one), high.max(one))
        });
        let key = source(format!("declared {from} {to}"), Distribution::Rectangular);
        Correction::Declared(Arc::new(Declared {
            from: from.clone(),
            to: to.clone(),
            offset: Estimate::rectangular(0.5 * (low + high), 0.5 * (high - low), key),
            range: (0.0, f64::INFINITY),
            source: "invented".into(),
        }))
    }

    /// What a shop would fit to pieces that it measured to 0.01 mm.
    fn paired(
        &self,
        from: &Method,
        to: &Method,
        pieces: &[Truth],
        shop: u64,
    ) -> Option<Correction> {
        let pair = |(place, piece): (usize, &Truth)| {
            let chance = Chance(Draw::new(2_000 + shop, place as u64));
            let gauge = |what: &str, method: &Method| {
                let name = format!("{what} {from} {to}");
                piece.reads(method) + 0.01 * chance.error(&name, Distribution::Normal)
            };
            Pair {
                first: gauge("first", from),
                u_first: 0.01,
                second: gauge("second", to),
                u_second: 0.01,
            }
        };
        let pairs: Vec<Pair> = pieces.iter().enumerate().map(pair).collect();
        Some(Correction::paired(Paired {
            from: from.clone(),
            to: to.clone(),
            fit: fit(&pairs).ok()?,
            key: format!("pairs {from} {to}"),
            source: "invented".into(),
        }))
    }
}

/// What was counted of one kind of route from one method to another.
#[derive(Default)]
struct Cell {
    values: usize,
    held: usize,
    errors: f64,
    expanded: f64,
    limits_dominate: usize,
    by_trials: Vec<f64>,
}

/// What was counted of one kind of route.
pub struct Row {
    /// Values carried.
    pub values: usize,
    /// Share of them whose interval held the truth.
    pub held: f64,
    /// Median over pairs of methods of |mean error| over mean U, and the largest.
    pub bias: (f64, f64),
    /// Share of them in which limits outweigh all else.
    pub limits_dominate: f64,
    /// Mean of U over the half-width of 95 % by trials on the same chain.
    pub to_trials: f64,
}

/// How much is simulated.
#[derive(Clone, Copy)]
pub struct Effort {
    /// Pieces of each kind of route.
    pub pieces: u64,
    /// Every so many a value is also found by trials.
    pub trials_every: u64,
    /// Trials then.
    pub trials: usize,
}

/// Pieces that one shop carries by its own fit.
const PIECES_A_SHOP: u64 = 10;

/// Pieces behind a declared offset, and behind a fit.
const BEHIND: (u64, u64) = (200, 12);

/// Carries pieces of all populations along one kind of route.
pub fn simulate(kind: RouteKind, effort: Effort) -> Row {
    let gauges = Gauges::new();
    let mut cells: BTreeMap<(usize, String, String), Cell> = BTreeMap::new();
    let populations: &[Population] = match kind {
        RouteKind::Generic => std::slice::from_ref(&CLASS),
        _ => &POPULATIONS,
    };
    for (place, population) in populations.iter().enumerate() {
        let share = effort.pieces / populations.len() as u64;
        let mut known = Known::of(kind, population, &gauges, 0);
        for number in 0..share {
            // A fit errs as its twelve pieces happen to be: one shop alone would show that as bias.
            if kind == RouteKind::Paired && number % PIECES_A_SHOP == 0 {
                known = Known::of(kind, population, &gauges, number);
            }
            let chance = Chance(Draw::new(1 + place as u64, number));
            let Some(truth) = Truth::drawn(population, &gauges, &chance) else {
                continue;
            };
            let asked = (number % effort.trials_every == 0).then_some(effort.trials);
            for quantity in [Quantity::RimInnerDiameter, Quantity::CupDepth] {
                let mut count = |from: &Method, measured: &Measured, trials: Option<f64>| {
                    let key = (place, from.to_string(), measured.method.to_string());
                    let off = measured.estimate.value() - truth.reads(&measured.method);
                    cells
                        .entry(key)
                        .or_default()
                        .count(off, &measured.estimate, trials);
                };
                known.carry(&truth, quantity, &gauges, &chance, asked, &mut count);
            }
        }
    }
    Row::of(cells.values().collect())
}

/// What the counter knows of a population beside the figures of a piece.
struct Known<'a> {
    kind: RouteKind,
    population: &'a Population,
    contour: Option<Contour>,
    corrections: Vec<Correction>,
}

impl<'a> Known<'a> {
    fn of(kind: RouteKind, population: &'a Population, gauges: &Gauges, shop: u64) -> Self {
        let contour = match kind {
            RouteKind::Contour => Some(population.contour(false)),
            RouteKind::Generic => Some(population.contour(true)),
            _ => None,
        };
        let behind = match kind {
            RouteKind::Declared => BEHIND.0,
            RouteKind::Paired => BEHIND.1,
            _ => 0,
        };
        let pieces: Vec<Truth> = (0..behind)
            .filter_map(|number| {
                let chance = Chance(Draw::new(1_000 + shop, number));
                Truth::drawn(population, gauges, &chance)
            })
            .collect();
        let mut corrections = Vec::new();
        for from in &gauges.0 {
            for to in gauges.of(from.quantity()).filter(|to| *to != from) {
                match kind {
                    RouteKind::Declared => corrections.push(population.declared(from, to, &pieces)),
                    RouteKind::Paired => {
                        corrections.extend(population.paired(from, to, &pieces, shop))
                    }
                    _ => {}
                }
            }
        }
        Self {
            kind,
            population,
            contour,
            corrections,
        }
    }

    /// Carries one figure of the piece, as printed by a method that chance chooses, to all others.
    fn carry(
        &self,
        truth: &Truth,
        quantity: Quantity,
        gauges: &Gauges,
        chance: &Chance,
        trials: Option<usize>,
        count: &mut impl FnMut(&Method, &Measured, Option<f64>),
    ) {
        if self.kind == RouteKind::Traced {
            self.carry_on_trace(truth, gauges.of(quantity), chance, trials, count);
            return;
        }
        let of = |quantity: Quantity| -> Vec<&Method> { gauges.of(quantity).collect() };
        let (rims, cups) = (of(Quantity::RimInnerDiameter), of(Quantity::CupDepth));
        let rim = rims[chance.choice("rim method", rims.len())];
        let cup = cups[chance.choice("cup method", cups.len())];
        let stated = [rim, cup]
            .map(|method| self.population.printed(method, truth.reads(method), chance))
            .to_vec();
        let from = if quantity == Quantity::CupDepth {
            cup
        } else {
            rim
        };
        for to in of(quantity).into_iter().filter(|to| *to != from) {
            // One correction at a time: the way home would be a second route.
            let direct = |one: &&Correction| match one {
                Correction::Declared(offset) => offset.from == *from && offset.to == *to,
                Correction::Paired { fit, .. } => fit.from == *from && fit.to == *to,
            };
            let corrections = self.corrections.iter().filter(direct).cloned().collect();
            let piece = Piece::corrected(stated.clone(), self.contour.clone(), corrections);
            let routes = piece.by_every_route(to);
            let Some(measured) = routes.iter().find(|one| one.route.kind == self.kind) else {
                continue;
            };
            count(from, measured, half_width(&piece, measured, trials));
        }
    }

    /// Reads the piece's own trace by every method. There is no figure that it comes from: each method
    /// stands as its own.
    fn carry_on_trace<'m>(
        &self,
        truth: &Truth,
        methods: impl Iterator<Item = &'m Method>,
        chance: &Chance,
        trials: Option<usize>,
        count: &mut impl FnMut(&Method, &Measured, Option<f64>),
    ) {
        let Some(trace) = self.population.traced(truth, chance) else {
            return;
        };
        let piece = Piece::new(Vec::new(), None, &[]).with_trace(Arc::new(trace));
        for method in methods {
            if let Some(measured) = piece.carry(method).best() {
                count(method, measured, half_width(&piece, measured, trials));
            }
        }
    }
}

/// Half of what holds 95 % by trials on the same chain, where trials are asked for.
fn half_width(piece: &Piece, measured: &Measured, trials: Option<usize>) -> Option<f64> {
    let model = |draw: &Draw| Some(piece.drawn(draw).along(measured)?.estimate.value());
    Some(monte_carlo::run(trials?, 7, model)?.half_width())
}

impl Cell {
    fn count(&mut self, off: f64, estimate: &Estimate, by_trials: Option<f64>) {
        let stated = Expanded::from(estimate);
        let expanded = stated.expanded;
        self.limits_dominate += usize::from(Basis::of(stated.k) == Basis::Limits);
        self.values += 1;
        self.held += usize::from(off.abs() <= expanded);
        self.errors += off;
        self.expanded += expanded;
        self.by_trials
            .extend(by_trials.map(|half_width| expanded / half_width));
    }
}

impl Row {
    fn of(cells: Vec<&Cell>) -> Self {
        let total = |of: fn(&Cell) -> usize| cells.iter().map(|cell| of(cell)).sum::<usize>();
        let (values, held) = (total(|cell| cell.values), total(|cell| cell.held));
        let limits_dominate = total(|cell| cell.limits_dominate) as f64 / values as f64;
        let mut biases: Vec<f64> = cells
            .iter()
            .map(|cell| cell.errors.abs() / cell.expanded)
            .collect();
        biases.sort_by(f64::total_cmp);
        let ratios: Vec<f64> = cells
            .iter()
            .flat_map(|cell| cell.by_trials.clone())
            .collect();
        Self {
            values,
            held: held as f64 / values as f64,
            limits_dominate,
            bias: (biases[biases.len() / 2], biases[biases.len() - 1]),
            to_trials: ratios.iter().sum::<f64>() / ratios.len() as f64,
        }
    }
}
