// What a kept plan must hold before a ledger that comes in is taken over: its problem, answer and roadmap, how it follows from the plan
// before, the facts it was made from, what was worked out about it, and what came of questions about the collection. The compiler holds each
// shape to the type that pages read: a field that is forgotten here does not compile.

import { z } from 'zod';
import { type PlainMonth, readMonth } from '../src/calendar.ts';
import type { CapOutcome, CapQuestion } from '../src/cap-questions.ts';
import { CHECKS, READING_KINDS } from '../src/collection.ts';
import { boughtMonths, prepareProblem } from '../src/evaluate.ts';
import type { LedgerFacts } from '../src/ledger-problem.ts';
import { type Currency, currencyOf, type Money } from '../src/money.ts';
import type { Buy, PlanAnswer } from '../src/problem.ts';
import { NEEDS, RULE_SETS } from '../src/species.ts';
import type { KeptRoadmap, SinceLast } from './db/plans.ts';
import type { Studies } from './db/studies.ts';
import { isPlannable } from './problem-file.ts';
import {
  amount,
  box,
  build,
  byNeed,
  cameLater,
  change,
  day,
  exactly,
  fitting,
  id,
  idOrKey,
  lifeMonths,
  name,
  share,
} from './setup-json.ts';

// The domain's own kinds of number and text, which only its readers make.
const sum = z.int().min(-1e12).max(1e12) as unknown as z.ZodType<Money>;
const month = z.string().refine((text) => readMonth(text) !== null) as unknown as z.ZodType<PlainMonth>;

// A mean of hundreds may be a hair beyond a hundred.
const points = z
  .number()
  .min(-1e-6)
  .max(100 + 1e-6);
// Points or severe needs, times months, of a whole collection.
const figure = z.number().min(-1e9).max(1e9);
const count = z.int().min(0).max(10_000);
const inMonth = z.int().min(0).max(600);
const need = z.enum(NEEDS);
// A planning problem knows no money and no needs of ours by their types.
const minorUnits = z.int().min(-1e12).max(1e12);
const needName = need as unknown as z.ZodType<string>;
const reading = z.enum(READING_KINDS);
const readings = z.array(reading);
const value = z.number().min(-1_000).max(100_000);
/** Ids of purchases that are things already fitted are longer than those of upgrades. */
const purchase = idOrKey;
const text = z.string().max(4_000);

const buys = z.array(z.looseObject({ purchase, month: inMonth }));
const objective = z.looseObject({ severe: figure, weighted: figure, mean: figure, spend: minorUnits });
const change3 = { purchase, was: z.int().min(-600).max(600).nullable(), is: z.int().min(-600).max(600).nullable() };
const changes = z.array(z.looseObject(change3));

const foundAnswer = z.looseObject({
  status: z.enum(['optimal', 'within-bound', 'best-found']),
  buys,
  severeBound: figure.nullable(),
  weightedBound: figure.nullable(),
  rounds: z.int().min(0),
  ...objective.shape,
});

/** A planning problem that every rule of its form holds for. */
export const keptProblem = z.unknown().refine(isPlannable);

const answer = exactly<PlanAnswer>()(
  z.union([
    foundAnswer,
    z.looseObject({
      status: z.literal('infeasible'),
      shortMonth: inMonth,
      shortBy: minorUnits,
      rounds: z.int().min(0),
    }),
    z.looseObject({ status: z.literal('undecided'), rounds: z.int().min(0) }),
  ]),
);

/** An answer to a problem, whose buys are the problem's own purchases, each once in one of its months. */
export function keptAnswerTo(problem: unknown): z.ZodType {
  return answer.refine((one) => {
    if (!('buys' in one) || !isPlannable(problem)) return true;
    try {
      boughtMonths(prepareProblem(problem), one.buys as Buy[]);
      return true;
    } catch {
      return false;
    }
  });
}

const delay = z.looseObject({ points: figure, severe: figure }).nullable();
const effects = z.array(
  z.looseObject({
    animalId: id,
    need,
    from: points,
    to: points,
    severe: z.enum(['ends', 'begins', 'unchanged']),
    fromMemory: z.literal(true).exactOptional(),
  }),
);
const whyNow = z.discriminatedUnion('why', [
  z.looseObject({ why: z.literal('ordered') }),
  z.looseObject({ why: z.literal('pinned') }),
  z.looseObject({ why: z.literal('replaces-broken'), fitting: name }),
  z.looseObject({ why: z.literal('free'), delay }),
  z.looseObject({ why: z.literal('first-payable'), delay }),
  z.looseObject({ why: z.literal('first-month'), delay }),
  z.looseObject({ why: z.literal('not-before-earliest'), delay }),
  z.looseObject({ why: z.literal('after-what-it-needs'), delay }),
  z.looseObject({ why: z.literal('others-gain-more-before'), delay }),
  z.looseObject({ why: z.literal('pinned-takes-money'), name, delay }),
  z.looseObject({ why: z.literal('no-gain-before'), delay }),
  z.looseObject({ why: z.literal('gains-before'), points: figure, severe: figure, delay }),
]);
const whyNot = z.discriminatedUnion('why', [
  z.looseObject({ why: z.literal('never-payable'), shortBy: sum, points: figure }),
  z.looseObject({ why: z.literal('no-money-beside-the-rest'), shortBy: sum, points: figure }),
  z.looseObject({ why: z.literal('adds-nothing') }),
  z.looseObject({ why: z.literal('does-harm'), points: figure }),
  z.looseObject({ why: z.literal('would-fit'), points: figure }),
  z.looseObject({ why: z.literal('another-of-its-group'), boughtId: purchase, boughtName: name }),
  z.looseObject({ why: z.literal('needs-what-is-not-bought'), names: z.array(name) }),
  z.looseObject({ why: z.literal('useless-after-new-box'), boxId: purchase, boxName: name }),
  z.looseObject({ why: z.literal('too-dear-to-keep') }),
]);
const leftOut = z.discriminatedUnion('why', [
  z.looseObject({ upgradeId: purchase, why: z.literal('too-many-at-once'), need, animalId: id, name }),
  z.looseObject({ upgradeId: purchase, why: z.literal('needs-what-is-not-wanted'), name }),
  z.looseObject({ upgradeId: purchase, why: z.literal('pinned-after-the-plan'), name }),
]);
const roadmapBuy = z.looseObject({
  upgradeId: purchase,
  name,
  price: amount,
  arrives: month,
  animalIds: z.array(id),
  effects,
  alone: effects.exactOptional(),
  worth: delay,
  whyNow,
  readings: z.array(z.looseObject({ enclosureId: id, enclosureName: name, readings })),
});
const roadmapMonth = z.looseObject({
  month,
  buys: z.array(roadmapBuy),
  arrivals: z.array(z.looseObject({ upgradeId: purchase, name })),
  renewals: z.array(z.looseObject({ name, amount: sum })),
  savingFor: z.looseObject({ upgradeId: purchase, name, price: amount, month }).nullable(),
  income: sum,
  committed: sum,
  bought: sum,
  running: sum,
  cash: sum,
  scores: z.array(
    z.looseObject({ animalId: id, score: points, low: points, high: points, before: points, severe: count }),
  ),
});
const cheapest = z.discriminatedUnion('status', [
  z.looseObject({ animalId: id, name, status: z.literal('already-met') }),
  z.looseObject({
    animalId: id,
    name,
    status: z.literal('found'),
    upgrades: z.array(z.looseObject({ upgradeId: purchase, name, price: amount })),
    price: amount,
  }),
  z.looseObject({ animalId: id, name, status: z.literal('out-of-reach'), needs: z.array(need) }),
]);
const currency = z
  .looseObject({ code: z.string(), decimals: z.int() })
  .refine(({ code, decimals }) => currencyOf(code)?.decimals === decimals) satisfies z.ZodType<Currency>;

const roadmap = z
  .looseObject({
    planDate: day,
    firstMonth: month,
    creditMonths: count,
    animals: z.array(
      z.looseObject({
        animalId: id,
        name,
        planned: z.array(points),
        baseline: z.array(points),
        severePlanned: z.array(count),
        severeBaseline: z.array(count),
      }),
    ),
    months: z.array(roadmapMonth).min(1).max(600),
    notBought: z.array(
      z.looseObject({ upgradeId: purchase, name, price: amount, animalIds: z.array(id).exactOptional(), why: whyNot }),
    ),
    leftOut: z.array(leftOut),
    cheapest: z.array(cheapest),
    tailRule: z.enum(['kept', 'already-broken']),
    reserve: sum,
    points: z.looseObject({ planned: figure, baseline: figure }),
    severe: z.looseObject({ planned: figure, baseline: figure }),
    spend: sum,
    currency,
  })
  .refine(({ animals, months }) =>
    animals.every(
      ({ animalId, planned, baseline, severePlanned, severeBaseline }) =>
        [planned, baseline, severePlanned, severeBaseline].every((list) => list.length === months.length) &&
        months.every(({ scores }) => scores.some((one) => one.animalId === animalId)),
    ),
  );
/** A roadmap as it was drawn, or none. */
export const keptRoadmap = exactly<KeptRoadmap | null>()(roadmap.nullable());

const together = z.array(purchase);
export const keptSinceLast = exactly<SinceLast | null>()(
  z
    .looseObject({
      planId: id,
      threshold: figure,
      best: foundAnswer,
      changes: z.array(
        z.looseObject({
          ...change3,
          why: z.enum(['forced', 'fewer-severe', 'gains', 'saves']),
          gain: figure,
          severe: figure,
          together,
          name,
        }),
      ),
      held: z.array(z.looseObject({ ...change3, gain: figure, severe: figure, together, name })),
    })
    .nullable(),
);

const difference = z.looseObject({ severe: figure, weighted: figure, points: figure, spend: minorUnits });
const otherPlan = {
  status: z.literal('planned'),
  buys,
  objective,
  difference,
  changes,
  proved: z.boolean(),
};
const noPlan = [
  z.looseObject({ status: z.literal('impossible') }),
  z.looseObject({ status: z.literal('not-known') }),
] as const;
const fromMonth = inMonth.nullable();
const soonest = z.looseObject({
  animalId: id,
  now: count,
  planned: fromMonth,
  soonest: z.discriminatedUnion('status', [
    z.looseObject({ status: z.literal('month'), month: inMonth, buys, proved: z.boolean() }),
    z.looseObject({ status: z.literal('never-inside'), needs: z.array(needName) }),
    z.looseObject({ status: z.literal('not-known') }),
  ]),
  bridge: z.discriminatedUnion('status', [
    z.looseObject({ status: z.literal('none-needed') }),
    z.looseObject({ status: z.literal('found'), amount: minorUnits, month: inMonth, buys, proved: z.boolean() }),
    z.looseObject({ status: z.literal('not-with-money') }),
    z.looseObject({ status: z.literal('not-known') }),
  ]),
});
const objection = z.looseObject({
  purchase,
  forced: z.enum(['in', 'out']),
  outcome: z.discriminatedUnion('status', [z.looseObject({ ...otherPlan, month: fromMonth }), ...noPlan]),
});
const informed = z.discriminatedUnion('status', [
  z.looseObject({
    status: z.literal('planned'),
    price: minorUnits,
    faulty: z.looseObject({ buys, points: figure }),
    fine: z.looseObject({ buys, points: figure }),
    severe: z.looseObject({ faulty: figure, fine: figure }),
  }),
  z.looseObject({ status: z.literal('cannot-be-paid'), price: minorUnits }),
]);
const measuring = z
  .looseObject({
    reading: z.looseObject({
      enclosureId: id,
      kind: reading,
      fine: value,
      faulty: value,
      narrows: z.array(z.looseObject({ animalId: id, points: z.number().min(-100).max(100) })),
    }),
    prices: z.array(minorUnits).min(1),
    worth: z
      .looseObject({
        blind: z.array(z.looseObject({ buys, faulty: figure, fine: figure })).min(1),
        informed: z.array(informed),
        proved: z.boolean(),
      })
      .nullable(),
  })
  .refine(({ prices, worth }) => worth === null || worth.informed.length === prices.length);
const moneyStep = z.looseObject({
  kind: z.enum(['monthly', 'once']),
  amount: minorUnits,
  outcome: z.discriminatedUnion('status', [
    z.looseObject({
      ...otherPlan,
      severeEnds: z.array(z.looseObject({ animalId: id, was: fromMonth, is: fromMonth })),
    }),
    ...noPlan,
  ]),
});
const robust = z.looseObject({
  name: z.enum([
    'present',
    'weights-equal',
    'weights-rank-order',
    'evidence-low',
    'evidence-high',
    'weights-equal-evidence-low',
    'weights-equal-evidence-high',
    'weights-rank-order-evidence-low',
    'weights-rank-order-evidence-high',
  ]),
  buys,
  proved: z.boolean(),
});
const effect = z.discriminatedUnion('status', [
  z.looseObject({
    status: z.literal('planned'),
    changes,
    byPresent: difference.nullable(),
    byOther: difference.nullable(),
    proved: z.boolean(),
  }),
  ...noPlan,
]);
const choice = z.discriminatedUnion('choice', [
  z.looseObject({
    choice: z.literal('weights'),
    alternative: z.enum(['default', 'equal', 'rank-order']),
    outcome: effect,
  }),
  z.looseObject({
    choice: z.literal('allowances'),
    alternative: z.enum(['default', 'looser', 'tighter']),
    outcome: effect,
  }),
  z.looseObject({ choice: z.literal('priority'), alternative: z.enum(['default', 'flat']), outcome: effect }),
  z.looseObject({
    choice: z.literal('horizon'),
    alternative: z.enum(['default', 'shorter', 'longer']),
    months: inMonth,
    outcome: effect,
  }),
  z.looseObject({
    choice: z.literal('credit'),
    alternative: z.enum(['default', 'none', 'longer']),
    months: inMonth,
    outcome: effect,
  }),
]);
const study = <Found extends z.ZodType>(found: Found) =>
  z.looseObject({ state: z.enum(['under-way', 'whole', 'out-of-time', 'stopped']), found: z.array(found) });
type Kept<Kind extends keyof Studies> = NonNullable<Studies[Kind]>;
const studies = {
  soonest: exactly<Kept<'soonest'>>()(study(soonest)),
  objections: exactly<Kept<'objections'>>()(study(objection)),
  measuring: exactly<Kept<'measuring'>>()(study(measuring)),
  money: exactly<Kept<'money'>>()(study(moneyStep)),
  robust: exactly<Kept<'robust'>>()(study(robust)),
  choices: exactly<Kept<'choices'>>()(study(choice)),
} satisfies { [Kind in keyof Required<Studies>]: z.ZodType };

/** What a kind of study must hold; a kind that there is none of holds nothing. */
export function keptStudy(kind: unknown): z.ZodType {
  return typeof kind === 'string' && Object.hasOwn(studies, kind) ? studies[kind as keyof typeof studies] : z.never();
}

const animal = z.looseObject({
  id,
  name,
  speciesId: name,
  enclosureId: id.nullable(),
  lengthMm: z.number().positive().max(20_000).nullable(),
  measuredOn: day.nullable(),
  hatchedOn: day.nullable(),
  sex: z.enum(['female', 'male', 'unknown']),
  paleMorph: z.boolean(),
  seasons: z.array(
    z.looseObject({
      season: z.enum(['cooling', 'winter-rest']),
      fromMonth: z.int().min(1).max(12),
      toMonth: z.int().min(1).max(12),
    }),
  ),
  states: z
    .array(z.looseObject({ state: z.enum(['gravid', 'quarantine']), from: day, to: day.nullable() }))
    .exactOptional(),
});
const enclosure = z.looseObject({ id, name, ...box, boxSince: day, build });
const fittedThing = z.looseObject({
  id: idOrKey,
  enclosureId: id,
  fittedOn: day,
  movedOn: day.nullable(),
  retiredOn: day.nullable(),
  brokenOn: cameLater(day.nullable()),
  ...fitting,
});
const taken = z.looseObject({
  id: idOrKey,
  enclosureId: id,
  kind: reading,
  evidence: z.enum(['measured', 'estimated', 'unknown']),
  value: value.nullable(),
  typed: name,
  takenOn: day,
  hour: z.int().min(0).max(23).nullable(),
  roomCelsius: z.number().min(-100).max(100).nullable(),
  instrument: name,
  accuracy: z.number().min(0).max(20_000).nullable(),
  onPaper: z.enum(['changed', 'undone', 'ended', 'predicted']).exactOptional(),
  lightRatio: z.number().min(0).max(1e9).nullable().exactOptional(),
});
const answered = z.looseObject({
  enclosureId: id,
  check: z.enum(CHECKS),
  answer: z.enum(['yes', 'no', 'unknown']),
  answeredOn: day,
});
const lightCorrection = z
  .looseObject({ factor: z.number().positive().max(1_000), error: z.number().min(0).max(1_000), from: count })
  .nullable();
const monthOfRoom = z
  .looseObject({ celsius: z.number().min(-100).max(100), month: z.number().int().min(1).max(12) })
  .nullable();
const roomKept = z.looseObject({ id, name, coldest: monthOfRoom, hottest: monthOfRoom });
const collection = z
  .looseObject({
    animals: z.array(animal),
    enclosures: z.array(enclosure),
    fittings: z.array(fittedThing),
    readings: z.array(taken),
    answers: z.array(answered),
    lightCorrection: lightCorrection.exactOptional(),
    unjudged: z.array(animal).exactOptional(),
    rooms: z.array(roomKept).exactOptional(),
  })
  .refine(({ animals, enclosures, fittings, readings, answers }) => {
    const there = new Set(enclosures.map((one) => one.id));
    return [...animals, ...fittings, ...readings, ...answers].every(
      ({ enclosureId }) => enclosureId === null || there.has(enclosureId),
    );
  });
const upgrade = z.looseObject({
  id: purchase,
  name,
  status: z.enum(['proposed', 'wanted', 'refused', 'ordered', 'fitted']),
  origin: z.enum(['proposed', 'own']),
  proposalKey: text.nullable(),
  priceLow: amount,
  priceHigh: amount,
  monthlyCost: sum,
  lifeMonths,
  renewalPrice: amount.nullable(),
  leadMonths: count,
  earliestMonth: month.nullable(),
  pinnedMonth: month.nullable(),
  arrivesMonth: month.nullable(),
  requires: z.array(z.array(purchase)),
  group: name.nullable(),
  proceeds: z.looseObject({ amount, afterMonths: count }).nullable(),
  changes: z.array(change),
  note: text,
});
const owned = z.looseObject({
  fittingId: idOrKey,
  monthlyCost: sum,
  life: lifeMonths,
  renewalPrice: amount.nullable(),
  monthsInService: count,
  isBroken: z.literal(true).exactOptional(),
});
const sums = z.array(sum);
const priority = z.tuple([z.number().min(0).max(1e9), z.number().min(0).max(1e9), z.number().min(0).max(1e9)]);
const factsForm = z
  .looseObject({
    collection,
    // Held to the rules of the care library where a month is reviewed by it; those of an earlier version may have been wider.
    library: z.looseObject({
      species: z.array(z.looseObject({ id: name })),
      sources: z.array(z.looseObject({ id: name })),
      uvZones: z.array(z.looseObject({})),
      individuals: z.array(z.looseObject({ animalId: id })),
    }) as unknown as z.ZodType<LedgerFacts['library']>,
    choices: z.looseObject({
      weights: byNeed(1_000),
      allowances: byNeed(100),
      alpha: share,
      priority,
      ruleSets: z.array(z.enum(RULE_SETS)),
    }),
    upgrades: z.array(upgrade),
    money: z.looseObject({
      openingCash: sum,
      income: sums,
      committed: sums,
      reserve: sum,
      floors: sums.exactOptional(),
      owned: z.array(owned),
      tailIncome: sum,
    }),
    planDate: day,
    firstMonth: month,
    months: z.int().min(1).max(600),
    creditMonths: count,
  })
  .refine(({ money: { income, committed, floors = income }, months }) =>
    [income, committed, floors].every((list) => list.length === months),
  )
  .refine(({ collection: { animals }, library }) => {
    const known = new Set(library.species.map((one) => one.id));
    return animals.every((one) => known.has(one.speciesId));
  });
/** The facts that a plan was made from. */
export const keptFacts = exactly<LedgerFacts>()(factsForm);

const setUp = z.looseObject({
  box: z.looseObject({ name, price: amount }).nullable(),
  things: z.looseObject({ price: amount, count }),
  powerMonthly: sum,
  renewalsMonthly: sum,
  outOfReach: z.array(needName),
  priced: z.boolean(),
});
const percent = z.number().positive().max(1e6);
export const keptQuestion = exactly<CapQuestion>()(
  z.discriminatedUnion('ask', [
    z.looseObject({
      ask: z.literal('one-more'),
      speciesId: name,
      species: name,
      setUp,
      ownPrice: amount.nullable(),
      food: amount,
      substrate: amount,
      vet: amount,
    }),
    z.looseObject({ ask: z.literal('rehome'), animalId: id, animal: name }),
    z.looseObject({ ask: z.literal('price-rise'), percent }),
    z.looseObject({ ask: z.literal('tariff-rise'), percent }),
    z.looseObject({ ask: z.literal('lost-month'), month }),
    z.looseObject({ ask: z.literal('emergency'), month, amount }),
  ]),
);

const reached = z.looseObject({
  severe: figure,
  points: figure,
  firstMonth: minorUnits,
  clearsIn: z.union([figure.nullable(), z.literal('not-known')]),
});
const bound = z.enum(['money', 'time', 'floor', 'sockets', 'backlog', 'reserve', 'severe', 'quarantine']);
const holds = z.enum(['yes', 'no', 'not-known']);
// What is lacking may be money, floor or minutes.
const lacks = z.number().min(-1e12).max(1e12).nullable();
const gate = z.looseObject({
  month: inMonth,
  oneMore: holds,
  shut: z.array(z.looseObject({ name: bound, holds, holdsOneMore: holds, lacks })),
  cash: minorUnits,
  clearsIn: z.union([figure, z.null(), z.literal('not-known')]),
});
const when = z.discriminatedUnion('status', [
  z.looseObject({ status: z.literal('month'), gate, points: figure, proved: z.boolean() }),
  z.looseObject({ status: z.literal('unknown'), gate }),
  z.looseObject({ status: z.literal('refused'), gate, why: z.enum(['unpaid', 'severe']) }),
  z.looseObject({ status: z.literal('none'), gate, everBinds: z.array(bound) }),
  z.looseObject({ status: z.literal('not-reached'), gate: gate.nullable() }),
]);
/** What came of a question. */
export const keptOutcome = exactly<CapOutcome>()(
  z.discriminatedUnion('status', [
    z.looseObject({
      status: z.literal('planned'),
      was: reached,
      is: reached,
      animals: z.array(
        z.looseObject({ animalId: id, name, points: figure, severe: figure, was: fromMonth, is: fromMonth }),
      ),
      proved: z.boolean(),
      when: when.exactOptional(),
    }),
    z.looseObject({
      status: z.literal('impossible'),
      month: inMonth,
      by: minorUnits,
      was: reached,
      when: when.exactOptional(),
    }),
    z.looseObject({ status: z.literal('present-impossible'), month: inMonth, by: minorUnits }),
    z.looseObject({ status: z.literal('not-known') }),
  ]),
);
