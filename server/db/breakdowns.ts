// What is written down when a fitted thing breaks, is replaced by a spare, or works after all: the thing, the upgrade that replaces it and
// what happened change together, in the caller's transaction.

import { renews, replacementFor, replacementKey } from '../../src/breakdowns.ts';
import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import { isBroken } from '../../src/collection.ts';
import type { Money } from '../../src/money.ts';
import { noMoney } from '../../src/money.ts';
import { changeFitting, type FittingRecord, findFitting, type Saved } from './collection.ts';
import { recordEvent } from './events.ts';
import { keepLeftOver } from './old-things.ts';
import type { Session } from './open.ts';
import { addUpgrade, changeUpgrade, listUpgrades, pinUpgrade, removeUpgrade, type UpgradeRecord } from './upgrades.ts';

/** How a new one is to be bought. `month` is null where the plan decides; `name` is what it is called if it is not on the list yet. */
export type ReplacementFacts = { name: string; price: Money; month: PlainMonth | null; leadMonths: number };

/** The upgrade on the list that would put a new one in place of a thing: one on its way before one that is wanted; null when none is. */
export function findReplacement(session: Session, fittingId: string): UpgradeRecord | null {
  const fitting = listUpgrades(session).filter((one) => renews(one, fittingId));
  return fitting.find((one) => one.status === 'ordered') ?? fitting.find((one) => one.status === 'wanted') ?? null;
}

/** Whether a broken thing can be taken back into use: not once a new one was bought because it broke. */
export function canBeTakenBack(
  { brokenOn }: Pick<FittingRecord, 'brokenOn'>,
  replacement: UpgradeRecord | null,
): boolean {
  return replacement?.status !== 'ordered' || replacement.boughtOn! < brokenOn!;
}

/**
 * Records that a thing broke on a day. A new one is wanted as said, by the upgrade that would renew the thing anyway if there is one;
 * null where one is on its way already. 'conflict', with nothing changed, when the thing was changed since the given version.
 */
export function breakFitting(
  session: Session,
  id: number,
  version: number,
  facts: { brokeOn: PlainDate; note: string; replacement: ReplacementFacts | null },
): Saved {
  const { brokeOn, note, replacement } = facts;
  const fitting = findFitting(session, id);
  if (fitting === null || changeTo(session, fitting, version, { retiredOn: brokeOn, brokenOn: brokeOn }) === 'conflict')
    return 'conflict';
  const before = findReplacement(session, fitting.id);
  let upgradeId = before?.id ?? null;
  if (replacement !== null && before === null) {
    upgradeId = addUpgrade(session, replacementFor(fitting, { ...replacement, note }));
  } else if (replacement !== null && before?.status === 'wanted') {
    const { price, leadMonths, month } = replacement;
    const { name, monthlyCost, lifeMonths, renewalPrice, requires, group, proceeds, changes } = before;
    const changed = {
      name,
      monthlyCost,
      lifeMonths,
      renewalPrice,
      requires,
      group,
      proceeds,
      changes,
      note: before.note,
    };
    const now = { priceLow: price, priceHigh: price, leadMonths, earliestMonth: null };
    mustSave(changeUpgrade(session, Number(before.id), before.version, { ...changed, ...now }));
    mustSave(pinUpgrade(session, Number(before.id), before.version + 1, month));
  }
  recordEvent(session, { happenedOn: brokeOn, what: 'broke', upgradeId, amount: null, note: named(fitting, note) });
  return 'saved';
}

/** Records that a thing broke on a day and that a spare, which cost nothing now, is in its place since another. */
export function replaceBySpare(
  session: Session,
  id: number,
  version: number,
  { brokeOn, fittedOn, note }: { brokeOn: PlainDate; fittedOn: PlainDate; note: string },
): Saved {
  const fitting = findFitting(session, id);
  // Of what broke and was replaced on the same day nothing is left to tell.
  const brokenOn = brokeOn < fittedOn ? brokeOn : null;
  if (fitting === null || changeTo(session, fitting, version, { fittedOn, brokenOn }) === 'conflict') return 'conflict';
  const event = { upgradeId: null, amount: null };
  recordEvent(session, { ...event, happenedOn: brokeOn, what: 'broke', note: named(fitting, note) });
  recordEvent(session, { ...event, happenedOn: fittedOn, what: 'renewed', amount: noMoney, note: fitting.name });
  keepLeftOver(session, { ...fitting, brokenOn: brokeOn }, fittedOn);
  return 'saved';
}

/**
 * Records on a day that a broken thing works after all: it is in use as before. What was wanted only because it broke is removed, and can
 * be put back; what was wanted before is free of its month again. 'conflict', with nothing changed, when the thing was changed since the
 * given version, is not broken, or a new one was bought.
 */
export function takeBackIntoUse(session: Session, id: number, version: number, today: PlainDate): Saved {
  const fitting = findFitting(session, id);
  if (fitting === null || !isBroken(fitting)) return 'conflict';
  const replacement = findReplacement(session, fitting.id);
  if (!canBeTakenBack(fitting, replacement)) return 'conflict';
  if (changeTo(session, fitting, version, { retiredOn: null, brokenOn: null }) === 'conflict') return 'conflict';
  freeReplacement(session, fitting, replacement, today);
  recordEvent(session, {
    happenedOn: today,
    what: 'works-after-all',
    upgradeId: replacement?.id ?? null,
    amount: null,
    note: fitting.name,
  });
  return 'saved';
}

/** Records that a broken thing is not replaced: it is retired since a day, and what was wanted only because it broke is removed `today`. */
export function retireBroken(
  session: Session,
  id: number,
  version: number,
  { retiredOn, today }: { retiredOn: PlainDate; today: PlainDate },
): Saved {
  const fitting = findFitting(session, id);
  if (fitting === null || changeTo(session, fitting, version, { retiredOn, brokenOn: null }) === 'conflict')
    return 'conflict';
  freeReplacement(session, fitting, findReplacement(session, fitting.id), today);
  return 'saved';
}

// What was wanted before the thing broke stays wanted.
function freeReplacement(session: Session, fitting: FittingRecord, one: UpgradeRecord | null, today: PlainDate): void {
  if (one?.status !== 'wanted') return;
  const isOwn = one.proposalKey === replacementKey(fitting.id);
  const [id, version] = [Number(one.id), one.version];
  mustSave(isOwn ? removeUpgrade(session, id, version, today) : pinUpgrade(session, id, version, null));
}

function changeTo(
  session: Session,
  fitting: FittingRecord,
  version: number,
  changed: Partial<Pick<FittingRecord, 'fittedOn' | 'retiredOn' | 'brokenOn'>>,
): Saved {
  const { id, removedOn: _, version: _version, ...facts } = fitting;
  return changeFitting(session, Number(id), version, { ...facts, ...changed });
}

function named({ name }: FittingRecord, note: string): string {
  return note === '' ? name : `${name}: ${note}`;
}

// The rows were read in this same transaction, which holds the write lock.
function mustSave(saved: Saved): void {
  if (saved === 'conflict') throw new Error('a row changed while its transaction held the lock');
}
