// What upgrades freed and what became of it, as rows. The only file that knows how they are stored, and what an answer sets going: a
// hand-down becomes an upgrade, a sale a sum, and another answer takes that back.

import { and, asc, eq } from 'drizzle-orm';
import type { PlainDate } from '../../src/calendar.ts';
import { addMonths, monthOf } from '../../src/calendar.ts';
import type { Fate, FreedThing } from '../../src/hand-downs.ts';
import { handDownUpgrade } from '../../src/hand-downs.ts';
import type { Money } from '../../src/money.ts';
import { money } from '../../src/money.ts';
import { textId } from './collection.ts';
import { touchLedger } from './ledger.ts';
import { addOneOffSum, findOneOffSum, removeOneOffSum } from './money.ts';
import type { Session } from './open.ts';
import { oldThings } from './schema.ts';
import { addUpgrade, changeUpgrade, findUpgrade, removeUpgrade, type UpgradeRecord } from './upgrades.ts';

/** A freed thing with its fate. `amount` is what a sale should bring, 0 of a gift; `avoided` the least a new one would have cost, null unknown. */
export type OldThing = {
  upgradeId: string;
  freed: FreedThing;
  fate: Fate;
  toEnclosureId: string | null;
  toUpgradeId: string | null;
  sumId: string | null;
  amount: Money | null;
  avoided: Money | null;
  decidedOn: PlainDate;
  version: number;
};

/** What a keeper answers. `name` is that of the upgrade a hand-down becomes, `note` that of the sum a sale should bring. */
export type FateAnswer =
  | { fate: 'handed-down'; enclosureId: string; name: string; avoided: Money | null }
  | { fate: 'sold'; amount: Money; note: string }
  | { fate: 'stays' | 'spare' | 'quarantine' | 'recycled' };

/** Everything freed that was answered or waits for an answer. */
export function listOldThings(session: Session): OldThing[] {
  return session
    .select()
    .from(oldThings)
    .orderBy(asc(oldThings.id))
    .all()
    .map(({ id: _, thing: _thing, facts, upgradeId, toEnclosureId, toUpgradeId, sumId, ...rest }) => ({
      ...rest,
      freed: facts,
      upgradeId: String(upgradeId),
      toEnclosureId: textId(toEnclosureId),
      toUpgradeId: textId(toUpgradeId),
      sumId: textId(sumId),
    }));
}

/** Keeps what an upgrade frees on the day it is fitted, as far as nothing was said of it yet. */
export function keepFreed(session: Session, upgradeId: string, freed: readonly FreedThing[], on: PlainDate): void {
  for (const facts of freed) {
    session
      .insert(oldThings)
      .values({ upgradeId: Number(upgradeId), thing: facts.key, facts, fate: 'undecided', decidedOn: on })
      .onConflictDoNothing()
      .run();
  }
}

/**
 * Writes down what becomes of a freed thing and sets it going. 'conflict' when it was answered since the given version (0: never);
 * 'settled' when what the earlier answer set going can no longer be taken back here.
 */
export function answerOldThing(
  session: Session,
  upgrade: UpgradeRecord,
  freed: FreedThing,
  answer: FateAnswer,
  on: PlainDate,
  version: number,
): 'saved' | 'conflict' | 'settled' {
  const before = listOldThings(session).find((one) => one.upgradeId === upgrade.id && one.freed.key === freed.key);
  if ((before?.version ?? 0) !== version) return 'conflict';
  if (before !== undefined && takeBack(session, before, on) === 'settled') return 'settled';
  const row = {
    upgradeId: Number(upgrade.id),
    thing: freed.key,
    facts: freed,
    fate: answer.fate,
    toEnclosureId: answer.fate === 'handed-down' ? Number(answer.enclosureId) : null,
    toUpgradeId: null as number | null,
    sumId: null as number | null,
    amount: answer.fate === 'sold' ? answer.amount : null,
    avoided: answer.fate === 'handed-down' ? answer.avoided : null,
    decidedOn: on,
    version: version + 1,
  };
  // Taking back may have changed the upgrade's row.
  const now = findUpgrade(session, Number(upgrade.id))!;
  if (answer.fate === 'handed-down') {
    const { enclosureId, name } = answer;
    row.toUpgradeId = Number(
      addUpgrade(session, handDownUpgrade(freed, { freedBy: upgrade.id, enclosureId, name, on })),
    );
  } else if (answer.fate === 'sold' && answer.amount > 0) {
    if (now.status === 'fitted') {
      const month = addMonths(monthOf(on), 1);
      row.sumId = Number(addOneOffSum(session, { month, amount: answer.amount, note: answer.note, canWait: false }));
    } else {
      const { amount = 0, afterMonths = 1 } = now.proceeds ?? {};
      const proceeds = { amount: money(amount + answer.amount), afterMonths: Math.max(1, afterMonths) };
      mustSave(changeUpgrade(session, Number(now.id), now.version, { ...factsOf(now), proceeds }));
    }
  } else if (answer.fate === 'stays' && freed.what === 'fitting' && now.status !== 'fitted') {
    const changes = now.changes.filter((one) => one.change !== 'retire' || one.fittingId !== freed.fitting.id);
    mustSave(changeUpgrade(session, Number(now.id), now.version, { ...factsOf(now), changes }));
  }
  if (before === undefined) session.insert(oldThings).values(row).run();
  else
    session
      .update(oldThings)
      .set(row)
      .where(and(eq(oldThings.upgradeId, row.upgradeId), eq(oldThings.thing, row.thing)))
      .run();
  touchLedger(session);
  return 'saved';
}

function takeBack(session: Session, before: OldThing, on: PlainDate): 'free' | 'settled' {
  const upgrade = findUpgrade(session, Number(before.upgradeId))!;
  if (before.fate === 'handed-down') {
    const there = findUpgrade(session, Number(before.toUpgradeId));
    if (there?.status === 'fitted') return 'settled';
    if (there !== null && there.removedOn === null)
      mustSave(removeUpgrade(session, Number(there.id), there.version, on));
  }
  if (before.fate === 'sold' && before.sumId !== null) {
    const sum = findOneOffSum(session, Number(before.sumId));
    if (sum !== null && sum.removedOn === null)
      mustSave(removeOneOffSum(session, Number(before.sumId), sum.version, on));
  } else if (before.fate === 'sold' && before.amount !== 0) {
    if (upgrade.status === 'fitted') return 'settled';
    const left = Math.max(0, (upgrade.proceeds?.amount ?? 0) - (before.amount ?? 0));
    const proceeds = left === 0 ? null : { ...upgrade.proceeds!, amount: money(left) };
    mustSave(changeUpgrade(session, Number(upgrade.id), upgrade.version, { ...factsOf(upgrade), proceeds }));
  }
  if (before.fate === 'stays' && before.freed.what === 'fitting') {
    if (upgrade.status === 'fitted') return 'settled';
    const changes = [...upgrade.changes, { change: 'retire' as const, fittingId: before.freed.fitting.id }];
    mustSave(changeUpgrade(session, Number(upgrade.id), upgrade.version, { ...factsOf(upgrade), changes }));
  }
  return 'free';
}

function factsOf(upgrade: UpgradeRecord) {
  const { id: _, status: _s, origin: _o, proposalKey: _k, pinnedMonth: _p, arrivesMonth: _a, ...rest } = upgrade;
  const { boughtOn: _b, paid: _paid, returnBy: _by, fittedOn: _f, removedOn: _r, version: _v, ...facts } = rest;
  return facts;
}

// The rows were read in this same transaction, which holds the write lock.
function mustSave(saved: 'saved' | 'conflict'): void {
  if (saved === 'conflict') throw new Error('a row changed while its transaction held the lock');
}
