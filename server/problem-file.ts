// Reads a planning problem from a file's text. It knows every rule that the form of a problem has to keep, and names the
// first field that breaks one; what comes through can be planned without further questions.

import { z } from 'zod';
import type { PlanningProblem } from '../src/problem.ts';

/** A problem that can be planned, or one sentence that names the field to change. */
export type ReadProblem = { status: 'read'; problem: PlanningProblem } | { status: 'refused'; message: string };

const LARGEST_MONEY = 1_000_000_000_000;
const MOST_MONTHS = 600;

const id = z.string().min(1);
const money = z.int().min(-LARGEST_MONEY).max(LARGEST_MONEY);
const price = z.int().min(0).max(LARGEST_MONEY);
const count = z.int().min(0).max(10_000);
// A value between two others may be a hair beyond a hundred.
const score = z
  .number()
  .min(0)
  .max(100 + 1e-6);
const share = z.number().min(0).max(1e9);

/** Written files say null where something has no life and no renewal; that is the same as leaving it out. */
const orNothing = <T extends z.ZodType>(schema: T) =>
  z
    .union([schema, z.null()])
    .transform((value) => value ?? undefined)
    .optional();

const purchaseForm = z.strictObject({
  id,
  price,
  earliest: count.optional(),
  fixedMonth: count.optional(),
  lead: count.optional(),
  monthlyCost: money.optional(),
  life: orNothing(z.int().min(1).max(10_000)),
  renewal: orNothing(price),
  requires: z.array(z.union([id, z.array(id).min(1)])).optional(),
  groups: z.array(id).optional(),
  retires: z.array(id).optional(),
  proceeds: z.strictObject({ amount: price, after: count }).optional(),
  ownedSince: z.int().min(-10_000).max(-1).optional(),
});

const stateForm = z.strictObject({
  value: z.union([score, z.array(score)]),
  needs: z.array(id),
  blockedBy: z.array(id).optional(),
  severe: z.boolean().optional(),
});

const needForm = z.strictObject({
  need: id,
  weight: share,
  allowance: share,
  lifeCritical: z.boolean(),
  offMonths: z.array(count).optional(),
  states: z.array(stateForm),
});

const animalForm = z.strictObject({
  id,
  from: count.optional(),
  until: count.optional(),
  needs: z.array(needForm),
});

const problemForm = z.strictObject({
  months: z.int().min(1).max(MOST_MONTHS),
  creditMonths: count,
  openingCash: money.optional(),
  reserve: z.union([money, z.array(money)]).optional(),
  income: z.array(money),
  committed: z.array(money).optional(),
  tailIncome: money.optional(),
  purchases: z.array(purchaseForm),
  animals: z.array(animalForm),
  priority: z
    .tuple([share, share, share])
    .refine(([low, middle, high]) => low >= middle && middle >= high, 'must not rise from one number to the next')
    .optional(),
});

type Path = (string | number)[];
type Complaint = { path: Path; message: string };

/** Reads the text of a problem file. */
export function readProblem(text: string): ReadProblem {
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch (error) {
    const reason = error instanceof Error ? error.message : 'unknown reason';
    return { status: 'refused', message: `The file is not valid JSON: ${reason}.` };
  }
  const parsed = problemForm.safeParse(raw);
  if (!parsed.success) return refuse(deepestIssue(parsed.error.issues[0]!));
  const complaint = firstComplaint(parsed.data);
  return complaint ? refuse(complaint) : { status: 'read', problem: parsed.data };
}

/** Whether something is a planning problem that every rule of its form holds for. */
export function isPlannable(content: unknown): content is PlanningProblem {
  const parsed = problemForm.safeParse(content);
  return parsed.success && firstComplaint(parsed.data) === null;
}

function refuse({ path, message }: Complaint): ReadProblem {
  const name = path.reduce<string>(
    (text, part) => (typeof part === 'number' ? `${text}[${part}]` : text === '' ? part : `${text}.${part}`),
    '',
  );
  return { status: 'refused', message: `${name === '' ? 'The problem' : `The field ${name}`} ${message}.` };
}

/** The issue that says most: inside a choice of forms, that of the form which the value came closest to. */
function deepestIssue(issue: z.core.$ZodIssue, above: Path = []): Complaint {
  const path = [...above, ...(issue.path as Path)];
  if (issue.code === 'invalid_union') {
    const deeper = issue.errors
      .flat()
      .map((inner) => deepestIssue(inner, path))
      .sort((a, b) => b.path.length - a.path.length)[0];
    if (deeper && deeper.path.length > path.length) return deeper;
    return { path, message: 'has none of the forms that this field may have' };
  }
  if (issue.code === 'unrecognized_keys') {
    return { path: [...path, issue.keys[0] ?? ''], message: 'is not part of the form of a problem' };
  }
  if (issue.code === 'invalid_type' && issue.input === undefined && issue.message.endsWith('received undefined')) {
    return { path, message: 'is missing' };
  }
  return { path, message: `cannot be used: ${issue.message.replace(/^Invalid input: /, '')}` };
}

type Form = z.output<typeof problemForm>;

function firstComplaint(problem: Form): Complaint | null {
  return [...complaintsOf(problem)][0] ?? null;
}

function* complaintsOf(problem: Form): Generator<Complaint> {
  const { months } = problem;
  for (const field of ['reserve', 'income', 'committed'] as const) yield* listLength(problem[field], months, [field]);

  const known = new Set<string>();
  for (const [index, purchase] of problem.purchases.entries()) {
    if (known.has(purchase.id)) yield { path: ['purchases', index, 'id'], message: `repeats the id '${purchase.id}'` };
    known.add(purchase.id);
  }
  const unknown = function* (ids: readonly string[] | undefined, path: Path): Generator<Complaint> {
    for (const [index, name] of (ids ?? []).entries()) {
      if (!known.has(name)) yield { path: [...path, index], message: `names '${name}', which is no purchase's id` };
    }
  };
  for (const [index, purchase] of problem.purchases.entries()) {
    const path: Path = ['purchases', index];
    for (const [k, entry] of (purchase.requires ?? []).entries()) {
      if (typeof entry !== 'string') yield* unknown(entry, [...path, 'requires', k]);
      else if (!known.has(entry)) {
        yield { path: [...path, 'requires', k], message: `names '${entry}', which is no purchase's id` };
      }
    }
    yield* unknown(purchase.retires, [...path, 'retires']);
    if (purchase.retires?.includes(purchase.id)) {
      yield { path: [...path, 'retires'], message: 'names the purchase itself' };
    }
    if (purchase.fixedMonth !== undefined && purchase.fixedMonth >= months) {
      yield { path: [...path, 'fixedMonth'], message: `must be a month from 0 to ${months - 1}` };
    }
    if (purchase.fixedMonth !== undefined && purchase.ownedSince !== undefined) {
      yield { path: [...path, 'fixedMonth'], message: 'cannot stand beside ownedSince: what is owned is not bought' };
    }
  }

  const animals = new Set<string>();
  for (const [index, animal] of problem.animals.entries()) {
    const path: Path = ['animals', index];
    if (animals.has(animal.id)) yield { path: [...path, 'id'], message: `repeats the id '${animal.id}'` };
    animals.add(animal.id);
    if ((animal.until ?? months) > months) yield { path: [...path, 'until'], message: `must be at most ${months}` };
    if ((animal.from ?? 0) > (animal.until ?? months)) {
      yield { path: [...path, 'from'], message: `must be at most ${animal.until ?? months}` };
    }
    const needs = new Set<string>();
    for (const [n, need] of animal.needs.entries()) {
      const needPath: Path = [...path, 'needs', n];
      if (needs.has(need.need)) yield { path: [...needPath, 'need'], message: `repeats the need '${need.need}'` };
      needs.add(need.need);
      for (const [k, month] of (need.offMonths ?? []).entries()) {
        if (month >= months) {
          yield { path: [...needPath, 'offMonths', k], message: `must be a month from 0 to ${months - 1}` };
        }
      }
      for (const [k, state] of need.states.entries()) {
        const statePath: Path = [...needPath, 'states', k];
        yield* listLength(state.value, months, [...statePath, 'value']);
        yield* unknown(state.needs, [...statePath, 'needs']);
        yield* unknown(state.blockedBy, [...statePath, 'blockedBy']);
      }
    }
    if (animal.needs.length > 0 && animal.needs.every((need) => need.weight === 0)) {
      yield { path: [...path, 'needs', 0, 'weight'], message: 'must be above 0 for at least one need of the animal' };
    }
  }
}

function* listLength(list: unknown, months: number, path: Path): Generator<Complaint> {
  if (Array.isArray(list) && list.length !== months) {
    yield { path, message: `must have ${months} entries, one a month, and has ${list.length}` };
  }
}
