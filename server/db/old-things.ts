// What upgrades freed and renewals left over, and what became of it, as rows. The only file that knows how they are stored, and what an answer sets going: a
// hand-down becomes an upgrade, a sale a sum, and another answer takes that back.

import { asc, eq } from 'drizzle-orm';
import type { PlainDate } from '../../src/calendar.ts';
import { addMonths, monthOf } from '../../src/calendar.ts';
import type { Fitting } from '../../src/collection.ts';
import type { Fate, FreedThing } from '../../src/hand-downs.ts';
import { handDownUpgrade, leftOver } from '../../src/hand-downs.ts';
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
  id: string;
  /** What freed it: an upgrade, or the renewal of a fitted thing that goes on under its number. */
  by: { upgradeId: string } | { fittingId: string };
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
    .map(({ id, thing: _thing, facts, upgradeId, fittingId, toEnclosureId, toUpgradeId, sumId, ...rest }) => ({
      ...rest,
      id: String(id),
      by: upgradeId === null ? { fittingId: String(fittingId) } : { upgradeId: String(upgradeId) },
      freed: facts,
      toEnclosureId: textId(toEnclosureId),
      toUpgradeId: textId(toUpgradeId),
      sumId: textId(sumId),
    }));
}

/** What an upgrade freed that waits for an answer or has one. */
export function oldThingsOf(session: Session, upgradeId: string): OldThing[] {
  return listOldThings(session).filter(({ by }) => 'upgradeId' in by && by.upgradeId === upgradeId);
}

/** Keeps the old one of a thing that was renewed on a day, as it was before, until it is said what becomes of it. */
export function keepLeftOver(session: Session, before: Fitting, on: PlainDate): void {
  const facts = leftOver(before, on);
  if (facts === null) return;
  session
    .insert(oldThings)
    .values({ fittingId: Number(before.id), thing: facts.key, facts, fate: 'undecided', decidedOn: on })
    .run();
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
 * Writes down what becomes of what an upgrade frees and sets it going. 'conflict' when it was answered since the given version (0: never);
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
  const before = oldThingsOf(session, upgrade.id).find((one) => one.freed.key === freed.key);
  if ((before?.version ?? 0) !== version) return 'conflict';
  if (before !== undefined && takeBack(session, before, on) === 'settled') return 'settled';
  // Taking back may have changed the upgrade's row.
  const now = findUpgrade(session, Number(upgrade.id))!;
  const row = { ...setGoing(session, now, freed, answer, on), version: version + 1 };
  if (before === undefined)
    session
      .insert(oldThings)
      .values({ ...row, upgradeId: Number(upgrade.id), thing: freed.key, facts: freed })
      .run();
  else
    session
      .update(oldThings)
      .set(row)
      .where(eq(oldThings.id, Number(before.id)))
      .run();
  touchLedger(session);
  return 'saved';
}

/** As answerOldThing, of what a renewal left over. */
export function answerLeftOver(
  session: Session,
  id: string,
  answer: FateAnswer,
  on: PlainDate,
  version: number,
): 'saved' | 'conflict' | 'settled' {
  const before = listOldThings(session).find((one) => one.id === id);
  if (before === undefined || before.version !== version) return 'conflict';
  if (takeBack(session, before, on) === 'settled') return 'settled';
  session
    .update(oldThings)
    .set({ ...setGoing(session, null, before.freed, answer, on), version: version + 1 })
    .where(eq(oldThings.id, Number(id)))
    .run();
  touchLedger(session);
  return 'saved';
}

// A hand-down becomes an upgrade. A sale is a sum where the new one is in use, else a part of the upgrade that frees it.
function setGoing(
  session: Session,
  upgrade: UpgradeRecord | null,
  freed: FreedThing,
  answer: FateAnswer,
  on: PlainDate,
) {
  const row = {
    fate: answer.fate,
    toEnclosureId: answer.fate === 'handed-down' ? Number(answer.enclosureId) : null,
    toUpgradeId: null as number | null,
    sumId: null as number | null,
    amount: answer.fate === 'sold' ? answer.amount : null,
    avoided: answer.fate === 'handed-down' ? answer.avoided : null,
    decidedOn: on,
  };
  if (answer.fate === 'handed-down') {
    const { enclosureId, name } = answer;
    const facts = { freedBy: upgrade?.id ?? null, enclosureId, name, on };
    row.toUpgradeId = Number(addUpgrade(session, handDownUpgrade(freed, facts)));
  } else if (answer.fate === 'sold' && answer.amount > 0) {
    if (upgrade === null || upgrade.status === 'fitted') {
      const month = addMonths(monthOf(on), 1);
      row.sumId = Number(addOneOffSum(session, { month, amount: answer.amount, note: answer.note, canWait: false }));
    } else {
      const { amount = 0, afterMonths = 1 } = upgrade.proceeds ?? {};
      const proceeds = { amount: money(amount + answer.amount), afterMonths: Math.max(1, afterMonths) };
      mustSave(changeUpgrade(session, Number(upgrade.id), upgrade.version, { ...factsOf(upgrade), proceeds }));
    }
  } else if (answer.fate === 'stays' && freed.what === 'fitting' && upgrade !== null && upgrade.status !== 'fitted') {
    const changes = upgrade.changes.filter((one) => one.change !== 'retire' || one.fittingId !== freed.fitting.id);
    mustSave(changeUpgrade(session, Number(upgrade.id), upgrade.version, { ...factsOf(upgrade), changes }));
  }
  return row;
}

function takeBack(session: Session, before: OldThing, on: PlainDate): 'free' | 'settled' {
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
  }
  if (!('upgradeId' in before.by)) return 'free';
  const upgrade = findUpgrade(session, Number(before.by.upgradeId))!;
  if (before.fate === 'sold' && before.sumId === null && before.amount !== 0) {
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
  const {
    boughtOn: _b,
    paid: _paid,
    returnBy: _by,
    unaskedSince: _u,
    fittedOn: _f,
    removedOn: _r,
    version: _v,
    ...facts
  } = rest;
  return facts;
}

// The rows were read in this same transaction, which holds the write lock.
function mustSave(saved: 'saved' | 'conflict'): void {
  if (saved === 'conflict') throw new Error('a row changed while its transaction held the lock');
}
