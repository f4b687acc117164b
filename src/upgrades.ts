// What an upgrade is and what it does to a set-up: adds, replaces, moves or retires fitted things, never points. The same changes are
// applied to try a purchase out on paper and to record it once it is really fitted.

import type { PlainDate, PlainMonth } from './calendar.ts';
import type {
  Answer,
  Check,
  Collection,
  Enclosure,
  Fitting,
  FittingKind,
  Material,
  Placement,
  Reading,
  ReadingKind,
  Top,
} from './collection.ts';
import { bareReading, influenceOf, isBroken, setupOf, UV_LAMPS } from './collection.ts';
import { lightRatioOf } from './evidence.ts';
import { ROOF_GAP_MM } from './lamp-hanging.ts';
import type { Money } from './money.ts';
import { noMoney } from './money.ts';
import type { CareLibrary, Need } from './species.ts';
import { NEEDS, speciesOf, TEMPERATURE_KINDS } from './species.ts';

/** A thing to be fitted: a fitting that has no id, place in time or enclosure yet. `key` names it among the changes of its upgrade. */
export type NewFitting = Omit<Fitting, 'id' | 'enclosureId' | 'fittedOn' | 'movedOn' | 'retiredOn' | 'brokenOn'> & {
  key: string;
};

/** A fitting of a kind with nothing known of it but its name; its key is its kind. */
export function bareFitting(kind: FittingKind, name: string): NewFitting {
  return {
    key: kind,
    kind,
    name,
    lifeMonths: null,
    renewalPrice: null,
    watts: null,
    hoursPerDay: null,
    duty: null,
    place: null,
    regulates: null,
    guards: null,
    outOfReach: false,
    lamp: null,
    distanceMm: null,
    meshShare: 1,
    expects: [],
    outdoors: null,
    whenBoxReplaced: 'moves',
    placed: null,
    outletId: null,
  };
}

/** A thing as it is on the day it is fitted: never moved, retired or broken. */
export function fittedOnDay({ key: _, ...thing }: NewFitting, id: string, enclosureId: string, on: PlainDate): Fitting {
  return { ...thing, id, enclosureId, fittedOn: on, movedOn: null, retiredOn: null, brokenOn: null };
}

/** One change to a set-up. Ids of fittings may name a thing of the same upgrade by its key. */
export type Change =
  | { change: 'fit'; enclosureId: string; fitting: NewFitting }
  | { change: 'retire'; fittingId: string }
  | {
      change: 'move';
      fittingId: string;
      distanceMm: number | null;
      meshShare: number | null;
      place: Fitting['place'];
      outOfReach: boolean | null;
      placed: Fitting['placed'];
    }
  | { change: 'set-hours'; fittingId: string; hoursPerDay: number }
  | { change: 'renew'; fittingId: string }
  | {
      change: 'replace-box';
      enclosureId: string;
      lengthMm: number;
      depthMm: number;
      heightMm: number;
      material: Material;
      top: Top;
    }
  | { change: 'predict'; enclosureId: string; reading: ReadingKind; value: number }
  | { change: 'answer'; enclosureId: string; check: Check };

/** Where an upgrade stands. Only wanted, ordered and free ones enter a plan; what was bought and fitted is part of the set-up. */
type UpgradeStatus = 'proposed' | 'wanted' | 'refused' | 'ordered' | 'fitted';

/**
 * A purchase or a free action. Prices are what is expected at the low and the high end; the plan pays the high one. `monthlyCost` may be
 * negative (it saves); `requires` lists sets of upgrade ids of which one is enough; at most one upgrade of a `group` is bought.
 */
export type Upgrade = {
  id: string;
  name: string;
  status: UpgradeStatus;
  origin: 'proposed' | 'own';
  /** The proposal this came from, so that it is not proposed twice; null for the keeper's own. */
  proposalKey: string | null;
  priceLow: Money;
  priceHigh: Money;
  monthlyCost: Money;
  lifeMonths: number | null;
  renewalPrice: Money | null;
  leadMonths: number;
  earliestMonth: PlainMonth | null;
  pinnedMonth: PlainMonth | null;
  arrivesMonth: PlainMonth | null;
  requires: string[][];
  group: string | null;
  proceeds: { amount: Money; afterMonths: number } | null;
  changes: Change[];
  note: string;
};

/** An upgrade of the keeper's own that is wanted, costs nothing and waits for nothing. */
export function bareUpgrade(name: string, changes: Change[] = []): Omit<Upgrade, 'id'> {
  return {
    name,
    status: 'wanted',
    origin: 'own',
    proposalKey: null,
    priceLow: noMoney,
    priceHigh: noMoney,
    monthlyCost: noMoney,
    lifeMonths: null,
    renewalPrice: null,
    leadMonths: 0,
    earliestMonth: null,
    pinnedMonth: null,
    arrivesMonth: null,
    requires: [],
    group: null,
    proceeds: null,
    changes,
    note: '',
  };
}

/** What has to be looked at again once a box is replaced: the answers given for the old one say nothing of the new. */
const ANSWERED_ANEW: ReadonlySet<Check> = new Set(['escape-proof', 'probe-in-place', 'drip-loop', 'easy-exit']);

/** What was answered for the boxes that an upgrade replaces and says nothing of its new ones, so that whoever fits it is asked again. */
export function askedAnew({ changes }: Pick<Upgrade, 'changes'>, { answers }: Pick<Collection, 'answers'>): Answer[] {
  const replaced = new Set(changes.flatMap((one) => (one.change === 'replace-box' ? [one.enclosureId] : [])));
  return answers.filter(
    (one) => replaced.has(one.enclosureId) && ANSWERED_ANEW.has(one.check) && one.answer !== 'unknown',
  );
}

// A list of things that nobody can change any more is sorted by their names once: a large ledger asks for each upgrade where it belongs.
const homesOf = new WeakMap<readonly Fitting[], ReadonlyMap<string, string>>();

function homes(fittings: readonly Fitting[]): ReadonlyMap<string, string> {
  const known = homesOf.get(fittings) ?? new Map(fittings.map((one) => [one.id, one.enclosureId]));
  if (Object.isFrozen(fittings)) homesOf.set(fittings, known);
  return known;
}

/** The enclosures an upgrade's changes touch, given who is fitted where. */
export function enclosuresOf(upgrade: Upgrade, collection: Collection): string[] {
  const found = new Set<string>();
  for (const change of upgrade.changes) {
    if ('enclosureId' in change) found.add(change.enclosureId);
    else {
      const home = homes(collection.fittings).get(change.fittingId);
      if (home !== undefined) found.add(home);
    }
  }
  return [...found];
}

/** The id that a thing of an upgrade has in a set-up tried out on paper. */
export function paperId(upgradeId: string, key: string): string {
  return `${upgradeId}/${key}`;
}

/**
 * The collection as it would be on a day with some upgrades in service. The order of buying does not matter: boxes are replaced first,
 * then things retire, are fitted, move and are renewed, each upgrade in the order of the list. Things that stay behind when their box is
 * replaced retire with it, those of an upgrade too: such a purchase is useless once the new box stands. What broke is back in use once it
 * is renewed.
 */
export function applyUpgrades(collection: Collection, upgrades: readonly Upgrade[], on: PlainDate): Collection {
  const enclosures = new Map(collection.enclosures.map((one) => [one.id, one]));
  const fittings = new Map(collection.fittings.map((one) => [one.id, one]));
  const predicted: Reading[] = [];
  const replaced = new Set<string>();
  const changes = upgrades.flatMap((upgrade) => upgrade.changes.map((change) => ({ upgrade, change })));
  const alter = (upgradeId: string, fittingId: string, altered: (fitting: Fitting) => Fitting) => {
    const id = fittings.has(fittingId) ? fittingId : paperId(upgradeId, fittingId);
    const fitting = fittings.get(id);
    if (fitting !== undefined) fittings.set(id, altered(fitting));
  };
  for (const { change } of changes) {
    if (change.change !== 'replace-box') continue;
    const box = enclosures.get(change.enclosureId);
    if (box === undefined) continue;
    const { lengthMm, depthMm, heightMm, material, top } = change;
    const larger: Enclosure = { ...box, lengthMm, depthMm, heightMm, material, top, boxSince: on };
    enclosures.set(box.id, larger);
    replaced.add(box.id);
  }
  // Most that is tried leaves every box as it is.
  if (replaced.size > 0) {
    for (const [id, one] of fittings) {
      if (!replaced.has(one.enclosureId) || one.placed === null) continue;
      const before = collection.enclosures.find((box) => box.id === one.enclosureId)!;
      fittings.set(id, { ...one, placed: carriedOver(one, before, enclosures.get(one.enclosureId)!) });
    }
  }
  // On paper what was seen to in the old box is taken to be seen to in the new one; who fits it is asked (`askedAnew`).
  const answers = [...collection.answers];
  const staysBehind = (fitting: { whenBoxReplaced: Fitting['whenBoxReplaced'] }, enclosureId: string) =>
    fitting.whenBoxReplaced === 'stays-behind' && replaced.has(enclosureId);
  if (replaced.size > 0) {
    for (const [id, fitting] of fittings) {
      if (fitting.retiredOn === null && staysBehind(fitting, fitting.enclosureId))
        fittings.set(id, { ...fitting, retiredOn: on });
    }
  }
  for (const { upgrade, change } of changes) {
    if (change.change === 'retire')
      alter(upgrade.id, change.fittingId, (one) => ({ ...one, retiredOn: one.retiredOn ?? on }));
  }
  const boxUpgrades = new Set(
    upgrades.filter((one) => one.changes.some((change) => change.change === 'replace-box')).map((one) => one.id),
  );
  for (const { upgrade, change } of changes) {
    if (change.change !== 'fit' || !enclosures.has(change.enclosureId)) continue;
    // What comes with a new box was chosen for it; what was chosen for the old one stays behind with it.
    if (!boxUpgrades.has(upgrade.id) && staysBehind(change.fitting, change.enclosureId)) continue;
    const { fitting } = change;
    const id = paperId(upgrade.id, fitting.key);
    const named = (target: string | null) =>
      target === null || collection.fittings.some((one) => one.id === target) ? target : paperId(upgrade.id, target);
    fittings.set(id, {
      ...fittedOnDay(fitting, id, change.enclosureId, on),
      regulates: named(fitting.regulates),
      guards: named(fitting.guards),
    });
  }
  const backInUse = new Set<string>();
  for (const { upgrade, change } of changes) {
    switch (change.change) {
      case 'move':
        alter(upgrade.id, change.fittingId, (one) => ({
          ...one,
          distanceMm: change.distanceMm ?? one.distanceMm,
          meshShare: change.meshShare ?? one.meshShare,
          place: change.place ?? one.place,
          outOfReach: change.outOfReach ?? one.outOfReach,
          placed: change.placed ?? one.placed,
          movedOn: on,
        }));
        break;
      case 'set-hours':
        alter(upgrade.id, change.fittingId, (one) => ({ ...one, hoursPerDay: change.hoursPerDay }));
        break;
      case 'renew':
        alter(upgrade.id, change.fittingId, (one) => {
          if (!isBroken(one) || staysBehind(one, one.enclosureId)) return { ...one, fittedOn: on };
          backInUse.add(one.id);
          // Of what broke and was replaced on the same day nothing is left to tell.
          return { ...one, fittedOn: on, retiredOn: null, brokenOn: one.brokenOn! < on ? one.brokenOn : null };
        });
        break;
      case 'predict':
        predicted.push({
          ...bareReading(
            `${upgrade.id}/predict/${change.reading}`,
            change.enclosureId,
            change.reading,
            change.value,
            on,
          ),
          evidence: 'estimated',
          onPaper: 'predicted',
        });
        break;
      case 'answer':
        answers.unshift({ enclosureId: change.enclosureId, check: change.check, answer: 'yes', answeredOn: on });
        break;
    }
  }
  const things = [...fittings.values()];
  const changed = changedReadings(collection, things);
  let known = collection.readings;
  if (backInUse.size > 0) {
    const broken = collection.fittings.filter((one) => backInUse.has(one.id));
    const withoutIt = readWhileBroken(broken, things);
    known = known.filter((one) => !withoutIt(one));
  }
  if (changed.size > 0 || replaced.size > 0) {
    known = known.map((one): Reading => {
      const fate = replaced.has(one.enclosureId) ? 'ended' : changed.get(`${one.enclosureId} ${one.kind}`);
      if (fate === undefined) return one;
      return one.kind === 'uvi-basking'
        ? { ...one, onPaper: fate, lightRatio: lightRatioBefore(collection, one) }
        : { ...one, onPaper: fate };
    });
  }
  return {
    ...collection,
    enclosures: [...enclosures.values()],
    fittings: things,
    readings: [...known, ...predicted],
    answers,
  };
}

// Where a thing stands in a new box: at the same share of its length and depth, solids as high above the floor as before, lamps as far
// below or above the top, so that a taller box carries them farther from the animal; no lamp stays above a closed top (own assumptions).
function carriedOver({ kind, placed }: Fitting, before: Enclosure, after: Enclosure): Placement {
  const { xMm, yMm, zMm, heightMm } = placed!;
  const hangs = UV_LAMPS.has(kind) || kind === 'basking-lamp';
  const roof = hangs ? after.heightMm - before.heightMm : 0;
  const highest = !hangs
    ? Math.max(0, after.heightMm - (heightMm ?? 0))
    : after.top === 'closed'
      ? after.heightMm - ROOF_GAP_MM
      : Number.POSITIVE_INFINITY;
  return {
    ...placed!,
    xMm: (xMm * after.lengthMm) / before.lengthMm,
    yMm: (yMm * after.depthMm) / before.depthMm,
    zMm: Math.min(highest, Math.max(0, zMm + roof)),
  };
}

// A plan tries thousands of changes of one collection, and what a reading made of the light there is the same for all.
const lightRatios = new WeakMap<Collection, Map<Reading, number | null>>();

function lightRatioBefore(before: Collection, reading: Reading): number | null {
  let known = lightRatios.get(before);
  if (known === undefined) {
    known = new Map();
    lightRatios.set(before, known);
  }
  if (!known.has(reading)) known.set(reading, lightRatioOf(setupOf(before, reading.enclosureId), reading));
  return known.get(reading)!;
}

// Which readings no longer hold: those that anything added, moved, retired or renewed on paper has an influence on. Marked rather than
// told from dates, since what is tried today would come after a reading taken today.
function changedReadings(before: Collection, things: Fitting[]): Map<string, 'changed' | 'undone'> {
  const old = new Map(before.fittings.map((one) => [one.id, one]));
  const changed = new Map<string, 'changed' | 'undone'>();
  for (const one of things) {
    const was = old.get(one.id);
    if (
      was !== undefined &&
      was.fittedOn === one.fittedOn &&
      was.movedOn === one.movedOn &&
      was.retiredOn === one.retiredOn
    )
      continue;
    const takenOut = was !== undefined && was.retiredOn !== one.retiredOn && one.retiredOn !== null;
    const undone = takenOut || (was !== undefined && was.movedOn !== one.movedOn);
    for (const kind of influenceOf(one, things)) {
      const place = `${one.enclosureId} ${kind}`;
      if (undone || !changed.has(place)) changed.set(place, undone ? 'undone' : 'changed');
    }
  }
  return changed;
}

// What was read while a thing was broken says nothing of what it is like with a new one in its place.
function readWhileBroken(broken: readonly Fitting[], things: Fitting[]): (reading: Reading) => boolean {
  const since = broken.map((one) => ({ one, kinds: influenceOf(one, things) }));
  return (reading) =>
    since.some(
      ({ one, kinds }) =>
        one.enclosureId === reading.enclosureId && kinds.includes(reading.kind) && reading.takenOn >= one.brokenOn!,
    );
}

type Thing = Pick<Fitting, 'name' | 'enclosureId' | 'whenBoxReplaced'>;

/** What becomes of the things an upgrade brings when a new box that is still to come takes the place of the one they are for. */
export type FateInNewBox =
  | { fate: 'no-new-box' }
  | {
      /** 'moves': everything goes into the new box; 'stays-behind': the money is lost with the old one; 'split': some of each. */
      fate: 'moves' | 'stays-behind' | 'split';
      /** The upgrades that bring the new boxes. */
      newBoxes: { upgradeId: string; name: string }[];
      staying: string[];
      moving: string[];
    };

type NewBox = { enclosureId: string; upgradeId: string; name: string };

// A page asks this of each upgrade among all; of a list that nobody can change any more the boxes are found once.
const newBoxes = new WeakMap<readonly Upgrade[], NewBox[]>();

function newBoxesIn(upgrades: readonly Upgrade[]): NewBox[] {
  const before = newBoxes.get(upgrades);
  if (before !== undefined) return before;
  const found = upgrades.flatMap(({ id, name, status, changes }) => {
    if (status !== 'wanted' && status !== 'ordered') return [];
    return changes.flatMap((change): NewBox[] =>
      change.change === 'replace-box' ? [{ enclosureId: change.enclosureId, upgradeId: id, name }] : [],
    );
  });
  if (Object.isFrozen(upgrades)) newBoxes.set(upgrades, found);
  return found;
}

// What is done and not bought stands in no box; a run stands out of doors whichever box is indoors.
const HABITS: ReadonlySet<FittingKind> = new Set(['feeding-toy', 'novelty']);

/**
 * Tells an upgrade that a new box makes useless from one that moves into it. Only boxes that are wanted or ordered count, and not the
 * upgrade's own; a renewal follows the thing it renews.
 */
export function fateInNewBox(
  upgrade: Upgrade,
  allUpgrades: readonly Upgrade[],
  fittings: readonly Fitting[],
): FateInNewBox {
  const boxes = newBoxesIn(allUpgrades).filter((one) => one.upgradeId !== upgrade.id);
  const things = upgrade.changes.flatMap((change): Thing[] => {
    if (change.change === 'fit') {
      const { fitting, enclosureId } = change;
      const isHabit = upgrade.priceHigh === 0 && HABITS.has(fitting.kind);
      return isHabit || fitting.kind === 'outdoor-run' ? [] : [{ ...fitting, enclosureId }];
    }
    const renewed = change.change === 'renew' ? fittings.find((one) => one.id === change.fittingId) : undefined;
    return renewed === undefined ? [] : [renewed];
  });
  const bringsBox = upgrade.changes.some((change) => change.change === 'replace-box');
  const touched = things.filter((thing) => boxes.some((box) => box.enclosureId === thing.enclosureId));
  if (bringsBox || touched.length === 0) return { fate: 'no-new-box' };
  const names = (when: Fitting['whenBoxReplaced']) =>
    touched.filter((thing) => thing.whenBoxReplaced === when).map((thing) => thing.name);
  const [staying, moving] = [names('stays-behind'), names('moves')];
  const newBoxes = boxes
    .filter((box) => touched.some((thing) => thing.enclosureId === box.enclosureId))
    .map(({ upgradeId, name }) => ({ upgradeId, name }));
  return {
    fate: staying.length === 0 ? 'moves' : moving.length === 0 ? 'stays-behind' : 'split',
    newBoxes,
    staying,
    moving,
  };
}

/**
 * The readings that instruments must take once an upgrade is fitted, by enclosure: what it promises, what its things touch, and all that
 * was ever read in a box that it replaces. Give it the collection as it was before.
 */
export function readingsAfter(
  upgrade: Upgrade,
  collection: Collection,
  library: CareLibrary | null = null,
): { enclosureId: string; readings: ReadingKind[] }[] {
  const found = new Map<string, Set<ReadingKind>>();
  const add = (enclosureId: string, readings: readonly ReadingKind[]) => {
    if (readings.length === 0) return;
    found.set(enclosureId, new Set([...(found.get(enclosureId) ?? []), ...readings]));
  };
  const after = applyUpgrades(collection, [upgrade], '9999-12-31' as PlainDate);
  for (const change of upgrade.changes) {
    if (change.change === 'predict') add(change.enclosureId, [change.reading]);
    if (change.change === 'replace-box') {
      const before = collection.readings.filter((one) => one.enclosureId === change.enclosureId);
      add(
        change.enclosureId,
        before.map((one) => one.kind),
      );
    }
    const id =
      change.change === 'fit'
        ? paperId(upgrade.id, change.fitting.key)
        : 'fittingId' in change
          ? change.fittingId
          : null;
    const fitting = after.fittings.find((one) => one.id === id);
    if (fitting !== undefined) add(fitting.enclosureId, influenceOf(fitting, after.fittings));
  }
  return [...found].flatMap(([enclosureId, kinds]) => {
    const readings = [...kinds].filter((kind) => library === null || isWanted(kind, enclosureId, collection, library));
    return readings.length === 0 ? [] : [{ enclosureId, readings }];
  });
}

const TEMPERATURES: ReadonlySet<string> = new Set(TEMPERATURE_KINDS);

// A temperature that no target of anyone who lives there speaks of, in any season, tells nothing. Where nobody lives, nobody knows yet.
function isWanted(kind: ReadingKind, enclosureId: string, { animals }: Collection, library: CareLibrary): boolean {
  const occupants = animals.filter((one) => one.enclosureId === enclosureId);
  if (!TEMPERATURES.has(kind) || occupants.length === 0) return true;
  return occupants.some((one) => {
    const { temperatures, profiles } = speciesOf(library, one);
    return [...temperatures, ...profiles.flatMap((profile) => profile.temperatures ?? [])].some(
      (target) => target.kind === kind,
    );
  });
}

const ownNeeds: Record<FittingKind, Need[]> = {
  'uv-tube': ['uv'],
  'uv-compact': ['uv'],
  'basking-lamp': ['heat', 'safety'],
  'heat-mat': ['heat', 'safety'],
  'ceramic-heater': ['heat', 'safety'],
  'radiant-panel': ['heat', 'safety'],
  'rock-heater': ['heat', 'safety'],
  'water-heater': ['heat', 'safety'],
  'unknown-heater': ['heat', 'safety'],
  'unknown-thermostat': ['safety'],
  thermostat: ['safety'],
  guard: ['safety'],
  timer: [],
  hide: ['hides', 'uv', 'safety'],
  'moist-hide': ['hides', 'uv', 'safety', 'humidity'],
  branches: ['enrichment'],
  'deep-substrate': ['enrichment', 'heat'],
  'feeding-toy': ['enrichment'],
  novelty: ['enrichment'],
  plants: ['hides', 'uv', 'safety'],
  'water-dish': ['water', 'safety'],
  pool: ['water', 'safety', 'enrichment'],
  filter: ['water', 'safety'],
  'dry-dock': ['water', 'uv', 'safety'],
  mister: ['safety'],
  insulation: [],
  'outdoor-run': [...NEEDS],
  'basking-place': ['heat', 'uv'],
  shelf: ['uv', 'enrichment'],
  perch: ['uv', 'enrichment'],
  fan: ['heat'],
  chiller: ['heat', 'water'],
  other: [],
};

function needsOfReading(kind: ReadingKind): Need[] {
  // Light that harms and a lamp whose hot spot nobody measured are matters of safety too.
  if (kind.startsWith('uvi')) return ['uv', 'safety'];
  if (kind.startsWith('humidity')) return ['humidity'];
  if (kind === 'water-depth') return ['water'];
  // A warm and a cool place together, for a swimmer the water, are a choice of places.
  if (kind === 'water') return ['water', 'enrichment'];
  return kind === 'hot-spot-surface' ? ['heat', 'enrichment', 'safety'] : ['heat', 'enrichment'];
}

/**
 * The needs an upgrade can touch, wide rather than narrow: a need left out here would be scored as if the upgrade did nothing for it.
 * Anything mains-powered touches safety, and whatever changes a reading touches the needs that are judged by it.
 */
export function needsTouched(upgrade: Upgrade, collection: Collection): Need[] {
  const touched = new Set<Need>();
  const add = (needs: readonly Need[]) => {
    for (const need of needs) touched.add(need);
  };
  const fitted = (thing: NewFitting, enclosureId: string) =>
    fittedOnDay(thing, thing.key, enclosureId, '' as PlainDate);
  const own = upgrade.changes.flatMap((one) => (one.change === 'fit' ? [fitted(one.fitting, one.enclosureId)] : []));
  const things = [...own, ...collection.fittings];
  const addThing = (one: Fitting | undefined) => {
    if (one === undefined) return;
    add(ownNeeds[one.kind]);
    if (one.watts !== null) add(['safety']);
    for (const kind of influenceOf(one, things)) add(needsOfReading(kind));
  };
  for (const change of upgrade.changes) {
    switch (change.change) {
      case 'fit':
        break;
      case 'answer':
        add(['safety', 'water']);
        break;
      case 'set-hours':
        add(['uv']);
        break;
      case 'predict':
        add(needsOfReading(change.reading));
        break;
      case 'replace-box':
        add(NEEDS);
        break;
      default:
        addThing(things.find((one) => one.id === change.fittingId));
    }
  }
  for (const one of own) addThing(one);
  return NEEDS.filter((need) => touched.has(need));
}

// A price this many times the highest expected, or less than that part of the lowest, is likelier a slip of the comma. Our own choice.
const HARDLY_TIMES_PRICE = 2;

/** Whether a price paid is so far from what was expected that it deserves a second look. What was free, or was expected to be, never is. */
export function priceInDoubt({ priceLow, priceHigh }: Pick<Upgrade, 'priceLow' | 'priceHigh'>, paid: Money): boolean {
  if (paid === 0 || priceHigh === 0) return false;
  return paid > HARDLY_TIMES_PRICE * priceHigh || HARDLY_TIMES_PRICE * paid < priceLow;
}
