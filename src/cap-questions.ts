// What one change of the collection or of its money does to the animals that are there: one more animal, one rehomed, dearer things or power,
// a month without income, an emergency. Each is written as changed facts of a ledger, planned like any other, and set against the present ones.

import { budgetOf, type MoneyFacts } from './budget.ts';
import { addDays, addMonths, monthOf, monthsBetween, type PlainDate, type PlainMonth } from './calendar.ts';
import { cheapestSetForAll } from './cheapest-set.ts';
import type { Animal, Collection, Enclosure, Reading } from './collection.ts';
import { bareReading, UNKNOWN_BUILD } from './collection.ts';
import {
  type AnimalUpkeep,
  alwaysShut,
  backlogOf,
  type CapFacts,
  type CapSettings,
  type ConstraintName,
  clearanceMonths,
  type GateInMonth,
  gateByMonth,
  judgeCap,
  keepingCosts,
} from './collection-cap.ts';
import { compareObjectives, type Evaluation, evaluateSchedule, prepareProblem, slackOf } from './evaluate.ts';
import { largerBoxes } from './larger-boxes.ts';
import { buildProblem, type LedgerFacts } from './ledger-problem.ts';
import { type Currency, type Money, money, noMoney, sumMoney } from './money.ts';
import type { Part, PartsList } from './parts.ts';
import type { Buy, FoundAnswer, PlanningProblem } from './problem.ts';
import { monthWeight } from './problem.ts';
import { kwhAMonth, surveyUpgrades } from './proposals.ts';
import { NEAR_TARGET, type ValueChoices } from './score.ts';
import { extentOf, judgeRules, leastRatio, smallestBox } from './space.ts';
import type { CareLibrary, Species } from './species.ts';
import { findSpecies } from './species.ts';
import { enclosuresOf, type Upgrade } from './upgrades.ts';
import type { Solve } from './what-if.ts';

/**
 * What a newcomer's set-up would take, all bought new for its adult size: its box, the cheapest things that bring its needs near their targets,
 * (else the cheapest kit for the need), their power and renewals a month, and the needs not known to come there before they are read. `priced` is false
 * when the list is in another currency.
 */
export type SetUp = {
  box: { name: string; price: Money } | null;
  things: { price: Money; count: number };
  powerMonthly: Money;
  renewalsMonthly: Money;
  outOfReach: string[];
  priced: boolean;
};

/** A question about the collection. Sums are above 0; percents are above 0. */
export type CapQuestion =
  | {
      ask: 'one-more';
      speciesId: string;
      species: string;
      setUp: SetUp;
      /** The keeper's own price of the whole set-up, in place of one from the list. */
      ownPrice: Money | null;
      food: Money;
      substrate: Money;
      vet: Money;
    }
  | { ask: 'rehome'; animalId: string; animal: string }
  | { ask: 'price-rise'; percent: number }
  | { ask: 'tariff-rise'; percent: number }
  | { ask: 'lost-month'; month: PlainMonth }
  | { ask: 'emergency'; month: PlainMonth; amount: Money };

/** What a newcomer's set-up is found from. */
export type NewcomerParts = {
  speciesId: string;
  lengthMm: number | null;
  library: CareLibrary;
  choices: ValueChoices;
  parts: PartsList;
  currency: Currency;
  powerPrice: number | null | 'not-ours';
  on: PlainDate;
};

type OneMore = Extract<CapQuestion, { ask: 'one-more' }>;

/** A question as it is posed: a newcomer's set-up is still to be found, which takes seconds. */
export type PosedQuestion = Exclude<CapQuestion, OneMore> | (Omit<OneMore, 'setUp'> & { newcomer: NewcomerParts });

/** A posed question with the set-up found. */
export function completeQuestion(question: PosedQuestion): CapQuestion {
  if (question.ask !== 'one-more') return question;
  const { newcomer, ...rest } = question;
  return { ...rest, setUp: setUpOf(newcomer) };
}

/** What a question is asked of: the facts of a plan, the money they come from, and what was said for the cap. */
export type QuestionFacts = {
  facts: LedgerFacts;
  money: MoneyFacts;
  upkeep: AnimalUpkeep[];
  settings: CapSettings;
  /** What the gate is judged from today; null asks nothing about the months in which it may open. */
  gate: CapFacts | null;
};

/**
 * The first month of a plan in which one more would do: the gate is open under the plan of the present animals, and with the newcomer coming
 * then the months were planned again, paid, with no severe shortfall longer. 'unknown': from that month on only what is not known stands in
 * the way. 'refused': the gate opens then, and no plan with the newcomer was paid or left the others as well off in severe needs ('unpaid' is
 * proved). 'none': it is shut in every month; `shut` is what shuts it in the last. 'not-reached': the time was over before.
 */
export type FirstMonth =
  | { status: 'month'; gate: GateInMonth; points: number; proved: boolean }
  | { status: 'unknown'; gate: GateInMonth }
  | { status: 'refused'; gate: GateInMonth; why: 'unpaid' | 'severe' }
  | { status: 'none'; gate: GateInMonth; everBinds: ConstraintName[] }
  | { status: 'not-reached'; gate: GateInMonth | null };

/** What is reached, over the animals that are there in both: severe needs x months, points x months; money for buying in the first month. */
export type Reached = { severe: number; points: number; firstMonth: number; clearsIn: number | null | 'not-known' };

/** What a change does to one animal that stays: differences over the plan with its credit, and the month from which nothing is severe. */
type AnimalChange = {
  animalId: string;
  name: string;
  points: number;
  severe: number;
  was: number | null;
  is: number | null;
};

/** What came of a question; `when` only of one more animal whose gate is not open today. 'impossible': no plan can be paid then, short in a month by a sum. `proved`: both plans are the best there are. */
export type CapOutcome =
  | { status: 'planned'; was: Reached; is: Reached; animals: AnimalChange[]; proved: boolean; when?: FirstMonth }
  | { status: 'impossible'; month: number; by: number; was: Reached; when?: FirstMonth }
  | { status: 'present-impossible'; month: number; by: number }
  | { status: 'not-known' };

/** The smallest box of the list that is large enough for a newcomer grown, and the room it asks for; quick to find. */
export function newcomerBox(parts: NewcomerParts): { part: Part | null; priced: boolean } {
  return { part: boxAndRoom(parts).part, priced: parts.parts.currency === parts.currency.code };
}

function boxAndRoom(parts: NewcomerParts) {
  const { speciesId, library, choices, on } = parts;
  const species = findSpecies(library, speciesId);
  const grown = Math.max(parts.lengthMm ?? 0, species.adultSize.highMm);
  const animal: Animal = {
    id: 'newcomer',
    name: species.commonName,
    speciesId,
    enclosureId: 'newcomer',
    lengthMm: grown,
    measuredOn: on,
    hatchedOn: null,
    sex: 'unknown',
    paleMorph: false,
    seasons: [],
  };
  const bare: Enclosure = {
    id: 'newcomer',
    name: species.commonName,
    lengthMm: 100,
    depthMm: 100,
    heightMm: 100,
    material: 'glass',
    top: 'closed',
    boxSince: on,
    build: UNKNOWN_BUILD,
  };
  const { ruleSets } = choices;
  const verdict = judgeRules({ species, animal, occupants: [animal], there: extentOf(bare), ruleSets, on });
  const climbs = species.habit === 'climbing';
  const needed = verdict.status === 'judged' ? verdict.strictest.needed : null;
  const fits = needed === null ? [] : largerBoxes(parts.parts, bare, species, needed).bought;
  const part = fits.find((one) => leastRatio(needed!, extentOf(one.enclosure!), climbs).ratio >= 1) ?? null;
  const size = needed === null ? null : smallestBox(needed);
  return { species, animal, bare, part, size };
}

/** Finds the set-up of a newcomer of a species, which may be longer than usual (mm). Takes up to some seconds. */
export function setUpOf(parts: NewcomerParts): SetUp {
  const { library, choices, on } = parts;
  const { species, animal, bare, part, size } = boxAndRoom(parts);
  const enclosure: Enclosure =
    part !== null
      ? { ...bare, ...part.enclosure! }
      : size === null
        ? bare
        : {
            ...bare,
            lengthMm: size.lengthMm,
            depthMm: size.depthMm ?? size.lengthMm / 2,
            heightMm: size.heightMm ?? 600,
          };
  const collection: Collection = {
    animals: [animal],
    enclosures: [enclosure],
    fittings: [],
    readings: [],
    answers: [],
  };
  const { proposals } = surveyUpgrades({
    ...parts,
    collection: { ...collection, readings: readingsOfBareBox(species, on) },
    rooms: [],
  });
  const upgrades = proposals
    .filter((one) => one.upgrade.changes.every((change) => change.change !== 'replace-box'))
    .map(
      (one): Upgrade => ({
        ...one.upgrade,
        id: one.key,
        name: one.key,
        status: 'wanted',
        origin: 'proposed',
        note: '',
      }),
    );
  const months = 12;
  const nothing = Array.from({ length: months }, () => noMoney);
  const { problem } = buildProblem({
    collection,
    library,
    choices,
    upgrades,
    money: {
      openingCash: noMoney,
      income: nothing,
      committed: nothing,
      reserve: noMoney,
      owned: [],
      tailIncome: noMoney,
    },
    planDate: on,
    firstMonth: monthOf(on),
    months,
    creditMonths: 0,
  });
  const found = cheapestSetForAll(prepareProblem(problem), months - 1, NEAR_TARGET);
  const needOf = new Map(proposals.map((one) => [one.key, one.need]));
  const sure = upgrades.filter((one) => found.purchases.includes(one.id));
  // What has to be read after fitting is not known to reach its target, but it has to be bought all the same: the cheapest kit for its need.
  const unsure = [...new Set(found.outOfReach.map((one) => one.need))].flatMap((need) => {
    if (sure.some((one) => one.priceHigh > 0 && needOf.get(one.id) === need)) return [];
    const kits = upgrades.filter((one) => one.priceHigh > 0 && needOf.get(one.id) === need);
    return kits.sort((a, b) => a.priceHigh - b.priceHigh).slice(0, 1);
  });
  const taken = [...sure, ...unsure];
  const paid = taken.filter((one) => one.priceHigh > 0);
  const renewals = taken.reduce(
    (sum, one) => sum + (one.lifeMonths === null ? 0 : (one.renewalPrice ?? one.priceHigh) / one.lifeMonths),
    0,
  );
  return {
    box: part === null ? null : { name: part.name, price: part.priceHigh },
    things: { price: sumMoney(taken.map((one) => one.priceHigh)), count: paid.length },
    powerMonthly: sumMoney(taken.map((one) => Math.max(0, one.monthlyCost))),
    renewalsMonthly: money(Math.ceil(renewals - 1e-9)),
    outOfReach: [...new Set(found.outOfReach.map((one) => one.need))],
    priced: parts.parts.currency === parts.currency.code,
  };
}

/** The mean air of a room in which nothing is heated, °C, and its humidity, %: own assumptions, only for choosing a newcomer's kits. */
const ROOM_CELSIUS = 20;
const ROOM_HUMIDITY = 50;

// A box without anything in it is as warm and as damp as its room.
function readingsOfBareBox({ temperatures }: Species, on: PlainDate): Reading[] {
  const kinds = temperatures.flatMap(({ kind }) => (kind === 'body' ? [] : [kind]));
  return [...new Set([...kinds, 'humidity-day' as const])].map((kind) =>
    bareReading(`newcomer-${kind}`, 'newcomer', kind, kind === 'humidity-day' ? ROOM_HUMIDITY : ROOM_CELSIUS, on),
  );
}

/** What a set-up costs to buy as far as known; the keeper's own price of it wins. */
export function setUpPrice({ setUp, ownPrice }: { setUp: SetUp; ownPrice: Money | null }): Money {
  return ownPrice ?? sumMoney([setUp.box?.price ?? noMoney, setUp.things.price]);
}

/** What a newcomer takes out of the sum a month, as the question says and its set-up draws and wears out. */
export function monthlyOf(
  { setUp, food, substrate, vet }: OneMore,
  settings: Pick<MoneyFacts['settings'], 'coversFood' | 'coversVet' | 'coversPower'>,
): Money {
  return sumMoney([
    settings.coversFood ? food + substrate : 0,
    settings.coversVet ? vet : 0,
    settings.coversPower ? setUp.powerMonthly : 0,
    setUp.renewalsMonthly,
  ]);
}

/** What the cap is judged from with the figures of a question's newcomer in place of the mean of those there are. */
export function withNewcomer(
  facts: CapFacts,
  question: CapQuestion,
  settings: Parameters<typeof monthlyOf>[1],
): CapFacts {
  if (question.ask !== 'one-more') return facts;
  return { ...facts, newcomer: { steady: monthlyOf(question, settings) } };
}

/** In which month of a plan a newcomer that comes on its day leaves quarantine, so that its set-up must be there; the last one at the latest. */
export function monthAfterQuarantine(
  weeks: number | null,
  { planDate, firstMonth, months }: Pick<LedgerFacts, 'planDate' | 'firstMonth' | 'months'>,
): number {
  const leaves = monthOf(addDays(planDate, 7 * (weeks ?? 0)));
  return Math.min(months - 1, monthsBetween(firstMonth, leaves));
}

/**
 * The facts as a question changes them, and the sum that is spent once without serving the animals there are. A newcomer's set-up is bought
 * before it moves in, so that it is never severely short at the cost of being planned for; its quarantine box and tests come first. It `comes`
 * so many months later than the first of the plan (0), and costs nothing before.
 */
export function changedBy(
  question: CapQuestion,
  asked: QuestionFacts,
  comes = 0,
): { asked: QuestionFacts; once: number } {
  const { facts, money: sums, upkeep, settings: said } = asked;
  const { settings } = sums;
  const raise = (amount: Money, percent: number): Money => money(Math.ceil((amount * (100 + percent)) / 100 - 1e-9));
  const out = (month: PlainMonth, amount: number) => ({
    id: 'asked',
    month,
    amount: money(-amount),
    note: '',
    canWait: false,
  });
  switch (question.ask) {
    case 'one-more': {
      const price = setUpPrice(question);
      const first = (said.quarantineBox ?? 0) + (said.newcomerVet ?? 0);
      const afterQuarantine = monthAfterQuarantine(said.quarantineWeeks, facts) + comes;
      const ready = addMonths(facts.firstMonth, Math.min(facts.months - 1, afterQuarantine));
      const monthlyCost = monthlyOf(question, settings);
      return again({
        once: price + first,
        money: {
          ...sums,
          oneOffs: [
            ...sums.oneOffs,
            out(addMonths(facts.firstMonth, comes), first),
            out(ready, price),
            ...Array.from({ length: comes }, (_, month) => out(addMonths(facts.firstMonth, month), -monthlyCost)),
          ],
          stillCosting: [...sums.stillCosting, { upgradeId: 'asked', name: '', monthlyCost, fittingId: null }],
        },
      });
    }
    case 'rehome': {
      const leaving = facts.collection.animals.find((one) => one.id === question.animalId);
      if (leaving === undefined) return { asked, once: 0 };
      const cost = keepingCosts(sums, facts.collection.animals, upkeep, facts.library).animals.find(
        (one) => one.animalId === leaving.id,
      )!;
      const freed = (parts: readonly string[]) =>
        Math.floor(cost.parts.filter((one) => parts.includes(one.part)).reduce((sum, one) => sum + one.amount, 0));
      const less = (amount: Money | null, by: number) => (amount === null ? null : money(Math.max(0, amount - by)));
      const animals = facts.collection.animals.filter((one) => one !== leaving);
      const empty = animals.some((one) => one.enclosureId === leaving.enclosureId) ? null : leaving.enclosureId;
      const upgrades = facts.upgrades.filter((one) => {
        const places = enclosuresOf(one, facts.collection);
        return one.status !== 'wanted' || places.length === 0 || places.some((place) => place !== empty);
      });
      return again({
        once: 0,
        facts: { ...facts, upgrades, collection: { ...facts.collection, animals } },
        upkeep: upkeep.filter((one) => one.animalId !== leaving.id),
        money: {
          ...sums,
          fittings: sums.fittings.filter((one) => one.enclosureId !== empty),
          settings: {
            ...settings,
            monthlyFood: less(settings.monthlyFood, freed(['food', 'substrate', 'food-and-substrate'])),
            monthlyVet: less(settings.monthlyVet, freed(['vet'])),
          },
        },
      });
    }
    case 'price-rise': {
      const { percent } = question;
      const dearer = (amount: Money | null) => (amount === null ? null : raise(amount, percent));
      return again({
        once: 0,
        facts: {
          ...facts,
          upgrades: facts.upgrades.map((one) => ({
            ...one,
            priceLow: raise(one.priceLow, percent),
            priceHigh: raise(one.priceHigh, percent),
            renewalPrice: dearer(one.renewalPrice),
          })),
        },
        upkeep: upkeep.map((one) => ({ ...one, food: dearer(one.food), substrate: dearer(one.substrate) })),
        money: {
          ...sums,
          fittings: sums.fittings.map((one) => ({ ...one, renewalPrice: dearer(one.renewalPrice) })),
          settings: { ...settings, monthlyFood: dearer(settings.monthlyFood) },
        },
      });
    }
    case 'tariff-rise': {
      const { percent } = question;
      const rate = settings.coversPower ? (settings.pricePerKwh ?? 0) : 0;
      const more = (one: Upgrade) =>
        Math.ceil((kwhAMonth(one.changes) * rate * 10 ** settings.currency.decimals * percent) / 100 - 1e-9);
      return again({
        once: 0,
        facts: {
          ...facts,
          upgrades: facts.upgrades.map((one) => ({ ...one, monthlyCost: money(one.monthlyCost + more(one)) })),
        },
        money: {
          ...sums,
          settings: {
            ...settings,
            pricePerKwh: settings.pricePerKwh === null ? null : (settings.pricePerKwh * (100 + percent)) / 100,
          },
        },
      });
    }
    case 'lost-month': {
      const lost = settings.monthlySum ?? 0;
      return again({ once: lost, money: { ...sums, oneOffs: [...sums.oneOffs, out(question.month, lost)] } });
    }
    case 'emergency':
      return again({
        once: question.amount,
        money: { ...sums, oneOffs: [...sums.oneOffs, out(question.month, question.amount)] },
      });
  }

  function again(change: { once: number } & Partial<QuestionFacts>): { asked: QuestionFacts; once: number } {
    const changed = { ...asked, ...change };
    const { openingCash, income, committed, reserve, owned, tailIncome } = budgetOf(
      changed.money,
      facts.firstMonth,
      facts.months,
    );
    // What the change takes is held against the floors of the present: else nothing could ever not be paid.
    const { floors } = facts.money;
    const planMoney = { openingCash, income, committed, reserve, ...(floors && { floors }), owned, tailIncome };
    return {
      once: change.once,
      asked: {
        upkeep: changed.upkeep,
        settings: said,
        gate: asked.gate,
        money: changed.money,
        facts: { ...changed.facts, money: planMoney },
      },
    };
  }
}

/**
 * Answers a question: the present facts are planned and the changed ones, from `start` and from one another. What can be done with less can be
 * done with more, so a change for the worse never comes out better. `stage` is told before each of the two plans is looked for, and before the
 * months are gone through in which one more would do; that last part stops where `ended` says so.
 */
export async function answerQuestion(
  question: CapQuestion,
  asked: QuestionFacts,
  start: readonly Buy[],
  solve: Solve,
  stage: (which: 'present' | 'changed' | 'when') => void = () => undefined,
  ended: () => boolean = () => false,
): Promise<CapOutcome> {
  const changed = changedBy(question, asked);
  const was = buildProblem(asked.facts).problem;
  const is = buildProblem(changed.asked.facts).problem;
  stage('present');
  const present = await solve(was, start);
  if (present.status === 'infeasible')
    return { status: 'present-impossible', month: present.shortMonth, by: present.shortBy };
  if (!('buys' in present)) return { status: 'not-known' };
  stage('changed');
  const other = await solve(is, present.buys);
  const staying = new Set(is.animals.map((one) => one.id));
  const wasReached = (buys: readonly Buy[]) => reached(was, buys, staying, asked, 0);
  if (other.status === 'infeasible') {
    const { shortMonth: month, shortBy: by } = other;
    return {
      status: 'impossible',
      month,
      by,
      was: wasReached(present.buys).figures,
      ...(await firstMonth(present.buys)),
    };
  }
  if (!('buys' in other)) return { status: 'not-known' };
  const best = question.ask === 'rehome' ? present.buys : betterOf(was, present, other.buys);
  const before = wasReached(best);
  const after = reached(is, other.buys, staying, changed.asked, changed.once);
  return {
    status: 'planned',
    was: before.figures,
    is: after.figures,
    animals: asked.facts.collection.animals.flatMap(({ id, name }): AnimalChange[] => {
      const [old, now] = [before.animals.get(id), after.animals.get(id)];
      if (old === undefined || now === undefined) return [];
      const [points, severe] = [now.points - old.points, now.severe - old.severe];
      return [{ animalId: id, name, points, severe, was: old.free, is: now.free }];
    }),
    proved: present.status === 'optimal' && other.status === 'optimal',
    ...(await firstMonth(best)),
  };

  async function firstMonth(buys: readonly Buy[]): Promise<{ when?: FirstMonth }> {
    if (question.ask !== 'one-more' || asked.gate === null) return {};
    const gate = withNewcomer(asked.gate, question, asked.money.settings);
    if (judgeCap(gate).oneMore === 'yes') return {};
    stage('when');
    if (ended()) return { when: { status: 'not-reached', gate: null } };
    return { when: await firstMonthOfOneMore(question, { ...asked, gate }, { problem: was, buys }, solve, ended) };
  }
}

/** How many months are planned again at the most to find one in which a newcomer would do. */
const MOST_MONTHS_TRIED = 6;

async function firstMonthOfOneMore(
  question: OneMore,
  asked: QuestionFacts & { gate: CapFacts },
  present: { problem: PlanningProblem; buys: readonly Buy[] },
  solve: Solve,
  ended: () => boolean,
): Promise<FirstMonth> {
  const months = gateByMonth(asked.gate, present.problem, present.buys);
  if (months.length === 0) return { status: 'not-reached', gate: null };
  const open = months.filter((one) => one.oneMore === 'yes');
  if (open.length === 0) {
    const unknown = months.findLastIndex((one) => one.oneMore === 'no') + 1;
    if (unknown < months.length) return { status: 'unknown', gate: months[unknown]! };
    return { status: 'none', gate: months.at(-1)!, everBinds: alwaysShut(months) };
  }
  const before = totals(present.problem, present.buys);
  let refused: FirstMonth | null = null;
  for (const gate of open.slice(0, MOST_MONTHS_TRIED)) {
    if (ended()) return { status: 'not-reached', gate };
    const { problem } = buildProblem(changedBy(question, asked, gate.month).asked.facts);
    const answer = await solve(problem, present.buys);
    if (answer.status === 'infeasible') {
      refused ??= { status: 'refused', gate, why: 'unpaid' };
      continue;
    }
    if (!('buys' in answer)) return { status: 'not-reached', gate };
    const after = totals(problem, answer.buys);
    if (after.severe <= before.severe + 1e-6)
      return { status: 'month', gate, points: after.points - before.points, proved: answer.status === 'optimal' };
    if (answer.status !== 'optimal' && ended()) return { status: 'not-reached', gate };
    refused ??= { status: 'refused', gate, why: 'severe' };
  }
  return refused!;
}

function totals(problem: PlanningProblem, buys: readonly Buy[]): { points: number; severe: number } {
  const evaluation = evaluateSchedule(problem, buys);
  if (evaluation.status !== 'feasible') throw new RangeError(`the plan breaks the rule ${evaluation.rule}`);
  const all = evaluation.animals.map((one) => reachedBy(problem, one));
  return {
    points: all.reduce((sum, one) => sum + one.points, 0),
    severe: all.reduce((sum, one) => sum + one.severe, 0),
  };
}

function betterOf(problem: PlanningProblem, present: FoundAnswer, others: readonly Buy[]): readonly Buy[] {
  const known = new Set(problem.purchases.map((one) => one.id));
  const buys = others.filter((one) => known.has(one.purchase));
  const evaluation = evaluateSchedule(problem, buys);
  return evaluation.status === 'feasible' && compareObjectives(evaluation, present) < 0 ? buys : present.buys;
}

type Feasible = Extract<Evaluation, { status: 'feasible' }>;
type ReachedByOne = { points: number; severe: number; free: number | null };

function reached(
  problem: PlanningProblem,
  buys: readonly Buy[],
  staying: ReadonlySet<string>,
  asked: QuestionFacts,
  once: number,
): { figures: Reached; animals: Map<string, ReachedByOne> } {
  const evaluation = evaluateSchedule(problem, buys);
  if (evaluation.status !== 'feasible') throw new RangeError(`the plan breaks the rule ${evaluation.rule}`);
  const animals = new Map(
    evaluation.animals.filter((one) => staying.has(one.id)).map((one) => [one.id, reachedBy(problem, one)]),
  );
  const all = [...animals.values()];
  const prepared = prepareProblem(problem);
  return {
    animals,
    figures: {
      severe: all.reduce((sum, one) => sum + one.severe, 0),
      points: all.reduce((sum, one) => sum + one.points, 0),
      firstMonth: slackOf(prepared, Int32Array.from(prepared.fixedMonth))[0]!,
      clearsIn: clearsIn(problem, asked, once),
    },
  };
}

function reachedBy(problem: PlanningProblem, { months }: Feasible['animals'][number]): ReachedByOne {
  let [points, severe]: [number, number] = [0, 0];
  let free: number | null = null;
  months.forEach((one, month) => {
    if (one === null) return;
    points += one.score * monthWeight(problem, month);
    severe += one.severe * monthWeight(problem, month);
    free = one.severe > 0 ? null : (free ?? month);
  });
  return { points, severe, free };
}

function clearsIn(problem: PlanningProblem, asked: QuestionFacts, once: number): Reached['clearsIn'] {
  const { money: sums, facts, upkeep, settings } = asked;
  const costs = keepingCosts(sums, facts.collection.animals, upkeep, facts.library);
  const backlog = backlogOf(problem);
  const unknown = costs.fixedMissing.length > 0 || costs.animals.some((one) => one.missing.length > 0);
  if (unknown || backlog.outOfReach.length > 0 || sums.settings.monthlySum === null) return 'not-known';
  const steady = costs.animals.reduce((sum, one) => sum + one.known, 0) + costs.fixed;
  const left = (sums.settings.monthlySum * (100 - settings.cushionPercent)) / 100 - steady;
  return clearanceMonths(backlog.cost + once, left);
}
