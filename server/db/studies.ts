// What was worked out about a plan after it was kept: one row a kind of study, replaced while it grows. The only file that knows how
// studies are stored.

import { eq } from 'drizzle-orm';
import type { ChoiceEffect } from '../../src/choice-effects.ts';
import type { Buy } from '../../src/problem.ts';
import type { VariantName } from '../../src/robust.ts';
import type { SoonestFree } from '../../src/soonest.ts';
import type { UnsettledReading } from '../../src/unsettled.ts';
import type { MoneyStep, Objection } from '../../src/what-if.ts';
import type { WorthOfMeasuring } from '../../src/worth-of-measuring.ts';
import type { Session } from './open.ts';
import { planStudies } from './schema.ts';

/** The kinds of study, in the order in which they are worked out. */
export const STUDY_KINDS = ['soonest', 'objections', 'measuring', 'money', 'robust', 'choices'] as const;
export type StudyKind = (typeof STUDY_KINDS)[number];

/** The plan under one other set of value choices; see robust.ts for the names. */
type RobustPlan = { name: VariantName; buys: Buy[]; proved: boolean };

/** The plan with more or less money, every month or once. */
type AmountTried = MoneyStep & { kind: 'monthly' | 'once' };

/**
 * What one reading that is not known well enough is worth to this plan. `prices`: what the meter for it costs in minor units, first 0 for
 * one that is at hand or borrowed, then that of one from the catalogue where it is known; the worths are in the same order. Null when
 * the two cases cannot be compared or one of them has no plan.
 */
export type MeasuringWorth = { reading: UnsettledReading; prices: number[]; worth: WorthOfMeasuring | null };

/** What each kind of study holds. */
export type StudyContents = {
  soonest: SoonestFree[];
  objections: Objection[];
  measuring: MeasuringWorth[];
  money: AmountTried[];
  robust: RobustPlan[];
  choices: ChoiceEffect[];
};

/**
 * A study as far as it has come. 'whole': everything was worked out. 'out-of-time': its seconds were over before. 'stopped': the keeper
 * ended it. 'under-way' is also what a study stays that a stop of the program cut off.
 */
export type Study<Kind extends StudyKind> = {
  state: 'under-way' | 'whole' | 'out-of-time' | 'stopped';
  found: StudyContents[Kind];
};

/** The studies of one plan; a kind that was not begun is absent. */
export type Studies = { [Kind in StudyKind]?: Study<Kind> };

/** Keeps a study of a plan in place of what was kept of it before. */
export function saveStudy<Kind extends StudyKind>(
  session: Session,
  planId: string,
  kind: Kind,
  study: Study<Kind>,
): void {
  const content = JSON.stringify(study);
  session
    .insert(planStudies)
    .values({ planId: Number(planId), kind, content })
    .onConflictDoUpdate({ target: [planStudies.planId, planStudies.kind], set: { content } })
    .run();
}

/** Everything that was worked out about a plan. */
export function studiesOf(session: Session, planId: string): Studies {
  const rows = session
    .select()
    .from(planStudies)
    .where(eq(planStudies.planId, Number(planId)))
    .all();
  return Object.fromEntries(rows.map(({ kind, content }) => [kind, JSON.parse(content)])) as Studies;
}
