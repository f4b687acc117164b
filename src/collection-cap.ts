// How many animals a keeper can carry, and whether one more may come: money, time, floor and sockets for good, then the backlog, the
// reserve and the quarantine for a newcomer. The only file that knows what an animal costs a month at adult size and what bounds a collection.

import { type MoneyFacts, powerCost } from './budget.ts';
import type { PlainDate } from './calendar.ts';
import { cheapestSetForAll } from './cheapest-set.ts';
import type { Animal, Collection, Fitting } from './collection.ts';
import { isFitted, setupOf } from './collection.ts';
import { boughtMonths, evaluateBought, prepareProblem, tailCostOf } from './evaluate.ts';
import { loadOf } from './load.ts';
import type { Money } from './money.ts';
import type { Buy, PlanningProblem } from './problem.ts';
import type { Outlet } from './rooms.ts';
import { NEAR_TARGET } from './score.ts';
import { extentOf, judgeRules, smallestBox } from './space.ts';
import type { CareLibrary, RuleSet } from './species.ts';
import { isYoung, speciesOf } from './species.ts';

/**
 * What a keeper says one animal takes at adult size: minutes a week, and a month's food with supplements, substrate and allowance for the
 * vet. Null was never said.
 */
export type AnimalUpkeep = {
  animalId: string;
  minutesAWeek: number | null;
  food: Money | null;
  substrate: Money | null;
  vet: Money | null;
};

/**
 * What a keeper says of the whole collection. Null was never said. `floorM2`: the floor that enclosures may take in all, those that stand
 * included. `quarantineBox` and `newcomerVet`: what a newcomer's box and its tests and first vet visit cost. `cushionPercent` of the sum is
 * kept out of every promise; `clearMonths` is how long putting everybody right may take; both are value choices.
 */
export type CapSettings = {
  minutesAWeek: number | null;
  floorM2: number | null;
  largestEmergency: Money | null;
  quarantinePlace: 'yes' | 'no' | null;
  quarantineWeeks: number | null;
  quarantineBox: Money | null;
  newcomerVet: Money | null;
  cushionPercent: number;
  clearMonths: number;
};

/** Nothing said yet; a tenth of the sum as a cushion and a year for the backlog (value choices of this ledger, no source). */
export const DEFAULT_CAP_SETTINGS: CapSettings = {
  minutesAWeek: null,
  floorM2: null,
  largestEmergency: null,
  quarantinePlace: null,
  quarantineWeeks: null,
  quarantineBox: null,
  newcomerVet: null,
  cushionPercent: 10,
  clearMonths: 12,
};

/** What makes up the cost of keeping an animal. */
export type CostPart = 'food' | 'substrate' | 'food-and-substrate' | 'vet' | 'power' | 'running' | 'renewals';

/** Something that is not known and would belong to a cost; `name` is that of a fitted thing. */
export type MissingPart =
  | { missing: 'food' | 'substrate' | 'food-and-substrate' | 'vet' | 'tariff' }
  | { missing: 'power-of' | 'renewal-price'; name: string };

/**
 * What keeping one animal takes out of the sum a month, in minor units, not rounded: what is known, part by part (`isShare`: its share of a
 * sum for all animals), and what is not known. `isYoung`: it eats less now than it will.
 */
type KeepingCost = {
  animalId: string;
  name: string;
  known: number;
  parts: { part: CostPart; amount: number; isShare: boolean }[];
  missing: MissingPart[];
  isYoung: boolean;
};

/** The costs of all animals, and what is owed however many there are: things in empty boxes and costs that hang on no thing. */
export type KeepingCosts = { animals: KeepingCost[]; fixed: number; fixedMissing: MissingPart[] };

/**
 * What each animal costs a month out of the sum. What the sum need not pay for costs nothing here. An animal without figures of its own takes
 * an even share of what the monthly sums for food and vet leave after those with figures, so that nothing counts twice. Power, running costs
 * and renewals (price / life) of a box are shared evenly by those who live in it, as it is fitted now.
 */
export function keepingCosts(
  facts: MoneyFacts,
  animals: readonly Animal[],
  upkeep: readonly AnimalUpkeep[],
  library: CareLibrary,
): KeepingCosts {
  const { settings } = facts;
  const fitted = facts.fittings.filter((one) => isFitted(one, facts.today));
  const saidOf = (id: string) => upkeep.find((one) => one.animalId === id);
  const fedByShare = animals.filter(({ id }) => saidOf(id)?.food == null && saidOf(id)?.substrate == null);
  const treatedByShare = animals.filter(({ id }) => saidOf(id)?.vet == null);
  const ownFood = sum(animals.map(({ id }) => (saidOf(id)?.food ?? 0) + (saidOf(id)?.substrate ?? 0)));
  const ownVet = sum(animals.map(({ id }) => saidOf(id)?.vet ?? 0));
  const foodShare = shareOf(settings.monthlyFood, ownFood, fedByShare.length);
  const vetShare = shareOf(settings.monthlyVet, ownVet, treatedByShare.length);
  const inhabited = new Set(animals.flatMap((one) => one.enclosureId ?? []));

  const known = new Set(library.species.map(({ id }) => id));
  const isKnown = ({ speciesId }: Animal) => known.has(speciesId);

  const costs = animals.map((animal): KeepingCost => {
    const said = saidOf(animal.id);
    const parts: KeepingCost['parts'] = [];
    const missing: MissingPart[] = [];
    if (settings.coversFood) {
      if (fedByShare.includes(animal)) {
        if (foodShare === null) missing.push({ missing: 'food-and-substrate' });
        else parts.push({ part: 'food-and-substrate', amount: foodShare, isShare: true });
      } else {
        for (const part of ['food', 'substrate'] as const) {
          const amount = said?.[part] ?? null;
          if (amount === null) missing.push({ missing: part });
          else parts.push({ part, amount, isShare: false });
        }
      }
    }
    if (settings.coversVet) {
      const isShare = said?.vet == null;
      const amount = isShare ? vetShare : said.vet;
      if (amount === null) missing.push({ missing: 'vet' });
      else parts.push({ part: 'vet', amount, isShare });
    }
    if (animal.enclosureId !== null) {
      const here = fitted.filter((one) => one.enclosureId === animal.enclosureId);
      const occupants = animals.filter((one) => one.enclosureId === animal.enclosureId).length;
      const own = costOfThings(facts, here);
      missing.push(...own.missing);
      for (const [part, amount] of [
        ['power', own.power],
        ['running', own.running],
        ['renewals', own.renewals],
      ] as const)
        if (amount !== 0) parts.push({ part, amount: amount / occupants, isShare: occupants > 1 });
    }
    return {
      animalId: animal.id,
      name: animal.name,
      known: sum(parts.map((one) => one.amount)),
      parts,
      missing,
      isYoung: isKnown(animal) && isYoung(animal, speciesOf(library, animal)),
    };
  });

  const elsewhere = costOfThings(
    facts,
    fitted.filter((one) => !inhabited.has(one.enclosureId)),
  );
  const loose = sum(facts.stillCosting.filter((one) => one.fittingId === null).map((one) => one.monthlyCost));
  return {
    animals: costs,
    fixed: elsewhere.power + elsewhere.running + elsewhere.renewals + loose,
    fixedMissing: elsewhere.missing,
  };
}

function shareOf(sumOfAll: Money | null, saidApart: number, sharers: number): number | null {
  return sumOfAll === null || sharers === 0 ? null : Math.max(0, sumOfAll - saidApart) / sharers;
}

function costOfThings(
  { settings, stillCosting }: MoneyFacts,
  things: readonly Fitting[],
): { power: number; running: number; renewals: number; missing: MissingPart[] } {
  const missing: MissingPart[] = [];
  let [power, running, renewals] = [0, 0, 0];
  for (const one of things) {
    const cost = powerCost(one, settings.pricePerKwh, settings.currency);
    if (settings.coversPower && cost.status === 'known') power += cost.cost;
    if (settings.coversPower && cost.status === 'unknown') {
      const noTariff = settings.pricePerKwh === null && one.watts !== null && one.hoursPerDay !== null;
      missing.push(noTariff ? { missing: 'tariff' } : { missing: 'power-of', name: one.name });
    }
    running += sum(stillCosting.filter((other) => other.fittingId === one.id).map((other) => other.monthlyCost));
    if (one.lifeMonths === null) continue;
    if (one.renewalPrice === null) missing.push({ missing: 'renewal-price', name: one.name });
    else renewals += one.renewalPrice / one.lifeMonths;
  }
  const tariffs = missing.filter((one) => one.missing === 'tariff').slice(1);
  return { power, running, renewals, missing: missing.filter((one) => !tariffs.includes(one)) };
}

/** The floor that boxes large enough for the adults take, in m², and the animals for which no rule says how large that is. */
export type FloorTaken = { m2: number; unknownOf: readonly string[] };

/**
 * The floor of all boxes with animals in them once everybody in them is grown: what the keeper's rules ask for, or the box that stands there
 * where that is larger. Boxes that stand one above the other each count.
 */
export function floorAtAdultSize(
  collection: Collection,
  library: CareLibrary,
  ruleSets: readonly RuleSet[],
  on: PlainDate,
): FloorTaken {
  let m2 = 0;
  const unknownOf: string[] = [];
  for (const enclosure of collection.enclosures) {
    const { occupants } = setupOf(collection, enclosure.id);
    if (occupants.length === 0) continue;
    const grown = occupants.map((one) => ({ ...one, lengthMm: null, measuredOn: null }));
    let floor = (enclosure.lengthMm * enclosure.depthMm) / 1e6;
    for (const animal of grown) {
      const there = extentOf(enclosure);
      const verdict = judgeRules({
        species: speciesOf(library, animal),
        animal,
        occupants: grown,
        there,
        ruleSets,
        on,
      });
      if (verdict.status !== 'judged') {
        unknownOf.push(animal.name);
        continue;
      }
      const box = smallestBox(verdict.strictest.needed);
      floor = Math.max(floor, (box.lengthMm * (box.depthMm ?? enclosure.depthMm)) / 1e6);
    }
    m2 += floor;
  }
  for (const animal of collection.animals) if (animal.enclosureId === null) unknownOf.push(animal.name);
  for (const animal of collection.unjudged ?? []) unknownOf.push(animal.name);
  return { m2, unknownOf };
}

/** The sockets as a whole: amperes drawn and allowed, sockets over their limit, and what is not known. */
export type SocketLoad = {
  amps: number;
  limitAmps: number;
  over: readonly string[];
  /** Things that draw power and whose socket or watts are not known. */
  unknownThings: readonly string[];
  sockets: number;
};

/** What all sockets carry with everything on at once, and what hangs on no known socket. */
export function socketLoad(outlets: readonly Outlet[], fittings: readonly Fitting[], on: PlainDate): SocketLoad {
  const loads = outlets.map((outlet) => ({ outlet, load: loadOf(outlet, fittings, on) }));
  const known = new Set(outlets.map((one) => one.id));
  const loose = fittings.filter(
    (one) => isFitted(one, on) && (one.watts ?? 0) > 0 && (one.outletId === null || !known.has(one.outletId)),
  );
  const unread = loads.flatMap(({ load }) =>
    load.reasons.flatMap((one) => (one.why === 'watts-unknown' ? one.things.map(({ name }) => name) : [])),
  );
  return {
    amps: sum(loads.map(({ load }) => load.amps)),
    limitAmps: sum(loads.map(({ load }) => load.limitAmps)),
    over: loads.filter(({ load }) => load.state === 'over').map(({ outlet }) => outlet.name),
    unknownThings: [...unread, ...loose.map((one) => one.name)],
    sockets: outlets.length,
  };
}

/**
 * What it would cost to bring every animal near its targets, minor units: the cheapest set of all that is wanted, shared things counted once,
 * with what is pinned. `outOfReach`: needs that nothing wanted brings there, so that the whole cost is not known.
 */
export type Backlog = { cost: number; outOfReach: readonly { animalId: string; need: string }[] };

/** The backlog of a planning problem, by its last month. */
export function backlogOf(problem: PlanningProblem): Backlog {
  return backlogAfter(problem, [], -1);
}

/** The backlog that is left once what a schedule buys until a month (-1: nothing) is there; what is pinned for later is still part of it. */
export function backlogAfter(problem: PlanningProblem, buys: readonly Buy[], month: number): Backlog {
  const boughtIn = new Map(buys.filter((one) => one.month <= month).map((one) => [one.purchase, one.month]));
  const isPaid = ({ id, ownedSince }: PlanningProblem['purchases'][number]) =>
    ownedSince !== undefined || boughtIn.has(id);
  const purchases = problem.purchases.map((one) => {
    const when = boughtIn.get(one.id);
    return when === undefined ? one : { ...one, fixedMonth: when };
  });
  const found = cheapestSetForAll(prepareProblem({ ...problem, purchases }), problem.months - 1, NEAR_TARGET);
  const pinned = problem.purchases.filter((one) => one.fixedMonth !== undefined && !isPaid(one));
  return { cost: found.price + sum(pinned.map((one) => one.price)), outOfReach: found.outOfReach };
}

/** Months until a backlog is cleared with what is left a month: 0 when there is none, null when it never is. */
export function clearanceMonths(backlog: number, leftAMonth: number): number | null {
  if (backlog <= 0) return 0;
  return leftAMonth > 0 ? backlog / leftAMonth : null;
}

/** Everything the cap is judged from. Money in minor units; null is not known. */
export type CapFacts = {
  count: number;
  sum: number | null;
  fixed: number;
  /** What all animals together cost a month, as far as known. */
  steady: number;
  /** Whether every part of what they cost is known. */
  steadyKnown: boolean;
  /** Minutes a week for all animals together; null when those of any are not known. */
  minutes: number | null;
  floor: FloorTaken;
  sockets: SocketLoad;
  /** Null when there is no plan to find it from. */
  backlog: Backlog | null;
  cash: number | null;
  /** Animals with a need that is severely short now. */
  severe: number;
  settings: CapSettings;
  /** What one more is said to take a month; without it, it takes what the mean of those there are does. */
  newcomer?: { steady: number };
};

/** What bounds a collection, for good ('cap') or for a newcomer ('gate'). */
export type ConstraintName = 'money' | 'time' | 'floor' | 'sockets' | 'backlog' | 'reserve' | 'severe' | 'quarantine';

/** Whether something holds; what is not known never counts as held. */
type Holds = 'yes' | 'no' | 'not-known';

/**
 * One constraint. `uses` and `allows` in its own unit (minor units a month, minutes a week, m², amperes, months, minor units, animals).
 * `holds` for the animals there are, `holdsOneMore` with one more that takes what the mean of them does. `most`: how many animals it allows
 * by itself, Infinity without end; null when not known, or when it is no matter of number. `lacks`: what one more would lack, 0 when nothing.
 */
export type Constraint = {
  name: ConstraintName;
  bounds: 'cap' | 'gate';
  uses: number | null;
  allows: number | null;
  holds: Holds;
  holdsOneMore: Holds;
  most: number | null;
  lacks: number | null;
};

/**
 * A number of animals, or which constraints are not known well enough to name one, with the one among the settled ones that binds so far by
 * itself (null where none is settled).
 */
export type CapCount =
  | { status: 'known'; most: number }
  | { status: 'not-known'; unknown: ConstraintName[]; binds: { name: ConstraintName; most: number } | null };

/** The cap and the gate. `constraints`: those that bind first come first. */
export type CollectionCap = {
  carrying: CapCount;
  gate: CapCount;
  /** Whether one more animal may come. */
  oneMore: Holds;
  constraints: Constraint[];
  /** Months until the backlog is cleared: null never; 'not-known'. */
  clearsIn: number | null | 'not-known';
};

// For sums of shares that should come out whole.
const ROUNDING = 1e-9;

/**
 * Judges a collection. Each further animal is taken to need what the mean of those there are does:
 * C1 the steady costs and what is fixed fit into the sum less the cushion; C2 the backlog over what is then left is at most so many months;
 * C3 minutes; C4 floor and sockets; C5 the cash covers the largest emergency (with the quarantine and tests, for a newcomer). The carrying
 * cap meets C1, C3 and C4; the gate all of them, with no severe shortfall and a place for quarantine.
 */
export function judgeCap(facts: CapFacts): CollectionCap {
  const { count, settings } = facts;
  const constraints = [money(facts), time(facts), floor(facts), sockets(facts), ...gateOf(facts)];
  const capped = constraints.filter((one) => one.bounds === 'cap');
  const carrying = leastOf(capped);
  const gate = leastOf(constraints.filter((one) => one.bounds === 'cap' || one.name === 'backlog'));
  const holds = constraints.map((one) => one.holdsOneMore);
  const oneMore: Holds = holds.includes('no') ? 'no' : holds.includes('not-known') ? 'not-known' : 'yes';
  const left = leftAMonth(facts);
  const { backlog } = facts;
  // What is left may only be less, and the backlog more, than what is known.
  const known = backlog !== null && left !== null && backlog.outOfReach.length === 0 && facts.steadyKnown;
  return {
    carrying,
    gate,
    oneMore,
    constraints: constraints.sort((a, b) => rank(a) - rank(b) || (a.most ?? Infinity) - (b.most ?? Infinity)),
    clearsIn: known ? clearanceMonths(backlog.cost, left) : 'not-known',
  };

  function rank(one: Constraint): number {
    if (one.holds === 'no') return 0;
    if (one.holdsOneMore === 'no') return 1;
    if (one.holdsOneMore === 'not-known') return 2;
    return one.most !== null && one.most <= count + settings.clearMonths ? 3 : 4;
  }
}

/**
 * The gate at the end of a month of a plan, with what is planned until then in service. `shut`: the constraints that one more does not meet, or
 * is not known to meet, with what it lacks; the backlog only where nothing else does. `cash` in minor units; `clearsIn` as in the cap, 'not-known' also where something else shuts it.
 */
export type GateInMonth = {
  month: number;
  oneMore: Holds;
  shut: Pick<Constraint, 'name' | 'holds' | 'holdsOneMore' | 'lacks'>[];
  cash: number;
  clearsIn: CollectionCap['clearsIn'];
};

/**
 * The gate month by month under a plan: severe needs, cash, what is still to be put right and what things cost to keep follow the plan; minutes,
 * floor, sockets and quarantine stay as they are in `facts`. Empty where the schedule breaks a rule of the problem.
 */
export function gateByMonth(
  facts: CapFacts,
  problem: PlanningProblem,
  buys: readonly Buy[],
  backlogIn: typeof backlogAfter = backlogAfter,
): GateInMonth[] {
  const prepared = prepareProblem(problem);
  const bought = boughtMonths(prepared, buys);
  const evaluation = evaluateBought(prepared, bought);
  if (evaluation.status !== 'feasible') return [];
  const keptBefore = tailCostOf(prepared, new Int32Array(prepared.count).fill(-1));
  return Array.from({ length: problem.months }, (_, month): GateInMonth => {
    const inMonth = bought.map((when) => (when <= month ? when : -1));
    const cash = evaluation.balances[month]!;
    const there: CapFacts = {
      ...facts,
      steady: facts.steady + tailCostOf(prepared, inMonth) - keptBefore,
      cash: facts.cash === null ? null : cash,
      severe: evaluation.animals.filter((one) => (one.months[month]?.severe ?? 0) > 0).length,
      backlog: null,
    };
    // The backlog is an integer program, needed only where nothing else shuts the gate.
    const early = judgeCap(there);
    const cap =
      early.oneMore === 'no'
        ? early
        : judgeCap({ ...there, backlog: backlogIn(problem, buys, Math.max(-1, ...inMonth)) });
    return {
      month,
      oneMore: cap.oneMore,
      shut: cap.constraints
        .filter((one) => one.holdsOneMore !== 'yes' && !(cap === early && one.name === 'backlog'))
        .map(({ name, holds, holdsOneMore, lacks }) => ({ name, holds, holdsOneMore, lacks })),
      cash,
      clearsIn: cap.clearsIn,
    };
  });
}

/** The constraints that shut the gate in every month of a plan. */
export function alwaysShut(months: readonly GateInMonth[]): ConstraintName[] {
  return months
    .map((one) => one.shut.filter(({ holdsOneMore }) => holdsOneMore === 'no').map(({ name }) => name))
    .reduce((all, some) => all.filter((name) => some.includes(name)));
}

/** What the sum less the cushion leaves for animals a month, before any: (1 - cushion) x sum - fixed; null when the sum is not known. */
function roomAMonth({ sum: total, fixed, settings }: CapFacts): number | null {
  return total === null ? null : (total * (100 - settings.cushionPercent)) / 100 - fixed;
}

function leftAMonth(facts: CapFacts): number | null {
  const room = roomAMonth(facts);
  return room === null ? null : room - facts.steady;
}

function money(facts: CapFacts): Constraint {
  const room = roomAMonth(facts);
  const one = counted('money', 'cap', facts.count, facts.steady, room, facts.steadyKnown);
  if (facts.newcomer === undefined || room === null) return one;
  const lacks = Math.max(0, facts.steady + facts.newcomer.steady - room);
  const holdsOneMore = one.holds === 'no' || lacks > ROUNDING ? 'no' : facts.steadyKnown ? 'yes' : 'not-known';
  return { ...one, holdsOneMore, lacks };
}

function time({ count, minutes, settings }: CapFacts): Constraint {
  return counted('time', 'cap', count, minutes, settings.minutesAWeek, minutes !== null);
}

function floor({ count, floor: taken, settings }: CapFacts): Constraint {
  return counted('floor', 'cap', count, taken.m2, settings.floorM2, taken.unknownOf.length === 0);
}

function sockets({ count, sockets: load }: CapFacts): Constraint {
  const [drawn, allows] = load.sockets === 0 ? [null, null] : [load.amps, load.limitAmps];
  const one = counted('sockets', 'cap', count, drawn, allows, load.unknownThings.length === 0);
  return load.over.length === 0
    ? one
    : { ...one, holds: 'no', holdsOneMore: 'no', most: Math.min(one.most ?? count, count) };
}

function gateOf(facts: CapFacts): Constraint[] {
  const { backlog, count, cash, settings, severe } = facts;
  const room = roomAMonth(facts);
  const left = leftAMonth(facts);
  const known = facts.steadyKnown && backlog !== null && backlog.outOfReach.length === 0;
  const months = backlog === null || left === null ? null : (clearanceMonths(backlog.cost, left) ?? Infinity);
  const over = months !== null && months > settings.clearMonths + ROUNDING;
  // N animals of the mean backlog k and cost s are put right in M months when N k <= M (R - N s).
  const perAnimal =
    backlog === null || count === 0 ? null : (backlog.cost + settings.clearMonths * facts.steady) / count;
  const most = perAnimal === null || room === null ? null : wholeIn(settings.clearMonths * room, perAnimal);
  const withOne = most === null ? null : most >= count + 1;
  const clearing: Constraint = {
    name: 'backlog',
    bounds: 'gate',
    uses: months,
    allows: settings.clearMonths,
    holds: over ? 'no' : known && months !== null ? 'yes' : 'not-known',
    holdsOneMore: withOne === false ? 'no' : known && withOne !== null ? 'yes' : 'not-known',
    most: known || over || withOne === false ? most : null,
    lacks:
      most === null || room === null || perAnimal === null
        ? null
        : Math.max(0, perAnimal * (count + 1) - settings.clearMonths * room) / settings.clearMonths,
  };
  const { largestEmergency, quarantineBox, newcomerVet, quarantinePlace, quarantineWeeks } = settings;
  const newcomer = quarantineBox === null || newcomerVet === null ? null : quarantineBox + newcomerVet;
  const kept: Constraint = {
    name: 'reserve',
    bounds: 'gate',
    uses: largestEmergency,
    allows: cash,
    holds: enough(cash, largestEmergency),
    holdsOneMore:
      enough(cash, largestEmergency) === 'no'
        ? 'no'
        : enough(cash, largestEmergency === null || newcomer === null ? null : largestEmergency + newcomer),
    most: null,
    lacks: cash === null || largestEmergency === null ? null : Math.max(0, largestEmergency + (newcomer ?? 0) - cash),
  };
  const none = severe === 0 ? 'yes' : 'no';
  const ended: Constraint = {
    name: 'severe',
    bounds: 'gate',
    uses: severe,
    allows: 0,
    holds: none,
    holdsOneMore: none,
    most: null,
    lacks: severe,
  };
  const ready: Holds =
    quarantinePlace === 'no'
      ? 'no'
      : quarantinePlace === null || quarantineWeeks === null || newcomer === null
        ? 'not-known'
        : 'yes';
  const apart: Constraint = {
    name: 'quarantine',
    bounds: 'gate',
    uses: newcomer,
    allows: null,
    // Nobody is in quarantine now, so it binds a newcomer alone.
    holds: 'yes',
    holdsOneMore: ready,
    most: null,
    lacks: null,
  };
  return [clearing, kept, ended, apart];
}

function enough(there: number | null, wanted: number | null): Holds {
  if (there === null || wanted === null) return 'not-known';
  return there >= wanted - ROUNDING ? 'yes' : 'no';
}

// A constraint that each animal uses up by the mean of those there are. What is known to be too much already is so whatever else is not known.
function counted(
  name: ConstraintName,
  bounds: Constraint['bounds'],
  count: number,
  uses: number | null,
  allows: number | null,
  isWhole: boolean,
): Constraint {
  const bare = { name, bounds, uses, allows };
  if (uses === null || allows === null || count === 0)
    return { ...bare, holds: 'not-known', holdsOneMore: 'not-known', most: null, lacks: null };
  const most = wholeIn(allows, uses / count);
  const judged = (animals: number): Holds => (most < animals ? 'no' : isWhole ? 'yes' : 'not-known');
  return {
    ...bare,
    holds: judged(count),
    holdsOneMore: judged(count + 1),
    most,
    lacks: Math.max(0, (uses / count) * (count + 1) - allows),
  };
}

function wholeIn(room: number, each: number): number {
  if (each <= 0) return room < 0 ? 0 : Number.POSITIVE_INFINITY;
  return Math.max(0, Math.floor(room / each + ROUNDING));
}

function leastOf(constraints: readonly Constraint[]): CapCount {
  // A figure of one that is not settled would be read as a promise, though what is not known can only lower it.
  const isSettled = (one: Constraint) =>
    one.most !== null && one.holds !== 'not-known' && one.holdsOneMore !== 'not-known';
  const settled = constraints.filter(isSettled);
  const tightest = settled.toSorted((a, b) => a.most! - b.most!)[0];
  const binds = tightest === undefined ? null : { name: tightest.name, most: tightest.most! };
  const unknown = constraints.filter((one) => !isSettled(one)).map((one) => one.name);
  return unknown.length === 0 && binds !== null
    ? { status: 'known', most: binds.most }
    : { status: 'not-known', unknown, binds };
}

function sum(values: readonly number[]): number {
  return values.reduce((total, one) => total + one, 0);
}
