// How a fitted upgrade becomes part of the set-up: what applyUpgrades does on paper to boxes, fitted things and answers is written to the
// rows, so that trying out and fitting can never differ. Promised readings are kept as promises: only an instrument can make one true.

import type { PlainDate } from '../../src/calendar.ts';
import { addMonths, monthOf } from '../../src/calendar.ts';
import type { Answer, Check, Collection, Enclosure, Fitting } from '../../src/collection.ts';
import { freedBy } from '../../src/hand-downs.ts';
import type { Money } from '../../src/money.ts';
import { promisesOf } from '../../src/promises.ts';
import type { UnitSystem } from '../../src/units.ts';
import { typedQuantity } from '../../src/units.ts';
import type { Upgrade } from '../../src/upgrades.ts';
import { applyUpgrades, askedAnew } from '../../src/upgrades.ts';
import type { FittingFacts, Saved } from './collection.ts';
import {
  addFitting,
  changeEnclosure,
  changeFitting,
  findEnclosure,
  findFitting,
  loadCollection,
  saveAnswers,
} from './collection.ts';
import { addOneOffSum } from './money.ts';
import { keepFreed } from './old-things.ts';
import type { Session } from './open.ts';
import { savePredictions } from './predictions.ts';
import { findUpgrade, markFitted, nameFittedThings } from './upgrades.ts';

/**
 * What was said when an upgrade was fitted. `saleNote` names the sum that what it replaced should bring; `returnBy`, until when it can go back,
 * is absent where that was asked when it was bought.
 */
export type FittedFacts = {
  /** What was answered to the questions that fitting it raises; what is left out is answered as the upgrade says. */
  answers?: Partial<Record<Check, Answer['answer']>>;
  fittedOn: PlainDate;
  boughtOn: PlainDate;
  paid: Money;
  returnBy?: PlainDate | null;
  unitSystem: UnitSystem;
  saleNote: string;
};

/**
 * Records an upgrade as fitted on a day and changes the set-up accordingly, all in the caller's transaction. 'conflict', with nothing
 * changed, when it was changed since the given version or is not there to be fitted.
 */
export function fitUpgrade(session: Session, id: number, version: number, facts: FittedFacts): Saved {
  const upgrade = findUpgrade(session, id);
  const { fittedOn, boughtOn, paid, returnBy } = facts;
  const fitted = { fittedOn, boughtOn, paid, ...(returnBy === undefined ? {} : { returnBy }) };
  if (upgrade === null || markFitted(session, id, version, fitted) === 'conflict') return 'conflict';
  const before = loadCollection(session);
  keepFreed(session, upgrade.id, freedBy(upgrade, before, fittedOn), fittedOn);
  const after = applyUpgrades(before, [upgrade], fittedOn);
  savePredictions(session, promisesOf(upgrade, before, fittedOn));
  saveEnclosures(session, before, after, facts.unitSystem);
  const numbers = saveFittings(session, before, after, { ...facts, upgrade });
  nameFittedThings(session, numbers);
  // What the upgrade answers stands first and is written last, over what the new box left open.
  const answered = after.answers.filter((one) => !before.answers.includes(one)).reverse();
  const said = answered.map((one) =>
    upgrade.changes.some((change) => change.change === 'answer' && change.check === one.check)
      ? { ...one, answer: facts.answers?.[one.check] ?? one.answer }
      : one,
  );
  // Nothing that was seen to in the old box holds in the new one until somebody looked.
  const anew = askedAnew(upgrade, before).flatMap((one) =>
    said.some(({ enclosureId, check }) => enclosureId === one.enclosureId && check === one.check)
      ? []
      : [{ ...one, answer: facts.answers?.[one.check] ?? ('unknown' as const), answeredOn: fittedOn }],
  );
  if (said.length + anew.length > 0) saveAnswers(session, [...said, ...anew]);
  if (upgrade.proceeds !== null && upgrade.proceeds.amount > 0) {
    addOneOffSum(session, {
      month: addMonths(monthOf(fittedOn), upgrade.proceeds.afterMonths),
      amount: upgrade.proceeds.amount,
      note: facts.saleNote,
      canWait: false,
    });
  }
  return 'saved';
}

function saveEnclosures(session: Session, before: Collection, after: Collection, system: UnitSystem): void {
  for (const box of after.enclosures) {
    const old = before.enclosures.find((one) => one.id === box.id);
    if (old === undefined || same(old, box)) continue;
    const { version, removedOn: _, id: _id, ...kept } = findEnclosure(session, Number(box.id))!;
    const typed = (mm: number) => typedQuantity(mm, 'length', system);
    const { id: _box, ...measures } = box satisfies Enclosure;
    mustSave(
      changeEnclosure(session, Number(box.id), version, {
        ...kept,
        ...measures,
        lengthTyped: typed(box.lengthMm),
        depthTyped: typed(box.depthMm),
        heightTyped: typed(box.heightMm),
      }),
    );
  }
}

/** Saves what changed among the fittings and returns the row number of each new one by the id it had on paper. */
function saveFittings(
  session: Session,
  before: Collection,
  after: Collection,
  { upgrade, unitSystem }: FittedFacts & { upgrade: Upgrade },
): Map<string, string> {
  const old = new Map(before.fittings.map((one) => [one.id, one]));
  const fresh = withRenewal(
    after.fittings.filter((one) => !old.has(one.id)),
    upgrade,
  );
  const numbers = new Map<string, string>();
  const typed = (mm: number | null) => (mm === null ? '' : typedQuantity(mm, 'length', unitSystem));
  for (const one of after.fittings) {
    const was = old.get(one.id);
    if (was === undefined || same(was, one)) continue;
    const { version, removedOn: _, id: _id, ...kept } = findFitting(session, Number(one.id))!;
    const { id: _one, ...facts } = one;
    const distanceTyped = one.distanceMm === was.distanceMm ? kept.distanceTyped : typed(one.distanceMm);
    mustSave(changeFitting(session, Number(one.id), version, { ...kept, ...facts, distanceTyped }));
  }
  const rows = fresh.map((one): [string, FittingFacts] => {
    const { id, ...facts } = one;
    return [id, { ...facts, distanceTyped: typed(one.distanceMm), upgradeId: upgrade.id }];
  });
  // A thermostat may come before the heater it works on, so the things are written first and then told of one another.
  for (const [id, facts] of rows) numbers.set(id, addFitting(session, { ...facts, regulates: null, guards: null }));
  const named = (id: string | null) => (id === null ? null : (numbers.get(id) ?? (old.has(id) ? id : null)));
  for (const [id, facts] of rows) {
    if (facts.regulates === null && facts.guards === null) continue;
    const regulates = named(facts.regulates);
    const guards = named(facts.guards);
    mustSave(changeFitting(session, Number(numbers.get(id)), 1, { ...facts, regulates, guards }));
  }
  return numbers;
}

// An upgrade whose renewal was entered for the whole, not for one of its things, would never be renewed once it is fitted.
function withRenewal(fresh: Fitting[], upgrade: Upgrade): Fitting[] {
  const { lifeMonths, renewalPrice } = upgrade;
  if (lifeMonths === null || renewalPrice === null || fresh.some((one) => one.renewalPrice !== null)) return fresh;
  const bearer = fresh.find((one) => one.lifeMonths === lifeMonths) ?? fresh.find((one) => one.lifeMonths === null);
  return fresh.map((one) => (one === bearer ? { ...one, lifeMonths, renewalPrice } : one));
}

function same(one: Fitting | Enclosure, other: Fitting | Enclosure): boolean {
  const fields = new Set([...Object.keys(one), ...Object.keys(other)]);
  const value = (from: object, field: string) => JSON.stringify((from as Record<string, unknown>)[field]);
  return [...fields].every((field) => value(one, field) === value(other, field));
}

// The rows were read in this same transaction, which holds the write lock.
function mustSave(saved: Saved): void {
  if (saved === 'conflict') throw new Error('a row changed while its transaction held the lock');
}
