// What a keeper takes to the shop: what is bought of an upgrade and how many of it, what to measure at home before paying, what to look at
// when it arrives, and what is not bought used. Knows no plan and no sentence.

import type { Collection, Fitting, FittingKind } from './collection.ts';
import { HEATERS, HIDES, UV_LAMPS } from './collection.ts';
import type { Money } from './money.ts';
import { sumMoney } from './money.ts';
import type { Change, NewFitting, Upgrade } from './upgrades.ts';
import { enclosuresOf } from './upgrades.ts';

/** Something to measure or to read off at home before it is paid. Lengths in mm; null where nothing was entered. */
export type MeasureBefore =
  | { measure: 'tube-in-box'; insideMm: number; litMm: number | null }
  | { measure: 'hanging-room'; insideMm: number; distanceMm: number | null }
  | { measure: 'mesh-hole' }
  | { measure: 'lamp-socket'; watts: number | null }
  | { measure: 'tube-socket'; watts: number | null }
  | { measure: 'cable' }
  | { measure: 'free-socket'; water: boolean }
  | { measure: 'thermostat-watts'; watts: number | null; heater: string | null }
  | { measure: 'guard-size'; around: string | null }
  | { measure: 'mat-on-floor'; insideLengthMm: number; insideDepthMm: number }
  | { measure: 'hide-size'; animals: { name: string; lengthMm: number | null }[]; insideLengthMm: number }
  | { measure: 'layer-volume'; insideLengthMm: number; insideDepthMm: number }
  | { measure: 'water-volume' }
  | { measure: 'outdoor-place'; lengthMm: number; depthMm: number }
  | { measure: 'box-place'; most: { lengthMm: number | null; depthMm: number | null; heightMm: number | null } }
  | { measure: 'way-in'; lengthMm: number; depthMm: number; heightMm: number }
  | { measure: 'what-it-carries' };

/** Something to look at when it arrives, in the order of unpacking. */
export type ArrivalCheck =
  | 'as-ordered'
  | 'inside-size'
  | 'doors-and-vents'
  | 'lamp-intact'
  | 'lamp-print'
  | 'rating-plate'
  | 'market-mark'
  | 'plug-and-cable'
  | 'damp-rating'
  | 'thermostat-type'
  | 'edges'
  | 'untreated'
  | 'keep-proof';

/** What is said of buying used, burns, wiring and light, as far as it concerns the thing. */
export type BuyingCaution = 'used-tube' | 'used-mains' | 'mains' | 'burns' | 'uv-eyes';

/** One line of the list. `count` is how often the same purchase is wanted; prices are for all of them together. */
export type ShoppingLine = {
  name: string;
  count: number;
  upgradeIds: string[];
  enclosureIds: string[];
  priceLow: Money;
  priceHigh: Money;
  things: { name: string; count: number }[];
  boxes: { lengthMm: number; depthMm: number; heightMm: number }[];
  measures: MeasureBefore[];
  checks: ArrivalCheck[];
  cautions: BuyingCaution[];
};

/** A thing that came to its end and is bought anew as it was. */
export type RenewedThing = { fitting: Fitting; price: Money | null };

type Bought = { thing: Pick<NewFitting, keyof NewFitting & keyof Fitting>; enclosureId: string };

/** The lines for some upgrades, those of the same name, changes of the same kind and price as one line; free ones are left out. */
export function shoppingLines(upgrades: readonly Upgrade[], collection: Collection): ShoppingLine[] {
  const lines = new Map<string, ShoppingLine>();
  for (const upgrade of upgrades) {
    if (upgrade.priceHigh === 0) continue;
    const line = lineOf(upgrade, collection);
    // What has to be measured hangs on the box, so only equal questions are asked once.
    const key = JSON.stringify([
      line.name,
      line.things,
      line.boxes,
      line.measures,
      upgrade.priceLow,
      upgrade.priceHigh,
    ]);
    const same = lines.get(key);
    if (same === undefined) {
      lines.set(key, line);
      continue;
    }
    same.count += 1;
    same.upgradeIds.push(upgrade.id);
    same.enclosureIds = [...new Set([...same.enclosureIds, ...line.enclosureIds])];
    same.priceLow = sumMoney([same.priceLow, line.priceLow]);
    same.priceHigh = sumMoney([same.priceHigh, line.priceHigh]);
  }
  return [...lines.values()];
}

/** The line for a thing that is bought anew because its life is over; its price is null where none was entered. */
export function renewalLine(
  { fitting }: RenewedThing,
  collection: Collection,
): Omit<ShoppingLine, 'priceLow' | 'priceHigh'> {
  const bought = [{ thing: fitting, enclosureId: fitting.enclosureId }];
  return {
    name: fitting.name,
    count: 1,
    upgradeIds: [],
    enclosureIds: [fitting.enclosureId],
    things: [],
    boxes: [],
    ...asked(bought, [], collection),
  };
}

function lineOf(upgrade: Upgrade, collection: Collection): ShoppingLine {
  const boxes = upgrade.changes.flatMap((one) => (one.change === 'replace-box' ? [one] : []));
  const bought = boughtThings(upgrade, collection);
  const things = new Map<string, number>();
  for (const { thing } of bought) things.set(thing.name, (things.get(thing.name) ?? 0) + 1);
  return {
    name: upgrade.name,
    count: 1,
    upgradeIds: [upgrade.id],
    enclosureIds: enclosuresOf(upgrade, collection),
    priceLow: upgrade.priceLow,
    priceHigh: upgrade.priceHigh,
    things: [...things].map(([name, count]) => ({ name, count })),
    boxes: boxes.map(({ lengthMm, depthMm, heightMm }) => ({ lengthMm, depthMm, heightMm })),
    ...asked(bought, boxes, collection),
  };
}

// What is taken out and put in again under the same name is the keeper's own thing and is not bought.
function boughtThings({ changes }: Upgrade, collection: Collection): Bought[] {
  const reused = changes.flatMap((one) => {
    const old = one.change === 'retire' ? collection.fittings.find((each) => each.id === one.fittingId) : undefined;
    return old === undefined ? [] : [`${old.kind} ${old.name}`];
  });
  return changes.flatMap((one): Bought[] => {
    if (one.change === 'fit') {
      const { fitting, enclosureId } = one;
      return reused.includes(`${fitting.kind} ${fitting.name}`) ? [] : [{ thing: fitting, enclosureId }];
    }
    const renewed = one.change === 'renew' ? collection.fittings.find((each) => each.id === one.fittingId) : undefined;
    return renewed === undefined ? [] : [{ thing: renewed, enclosureId: renewed.enclosureId }];
  });
}

function asked(
  bought: readonly Bought[],
  boxes: readonly (Change & { change: 'replace-box' })[],
  collection: Collection,
): Pick<ShoppingLine, 'measures' | 'checks' | 'cautions'> {
  const measures: MeasureBefore[] = [];
  const checks = new Set<ArrivalCheck>(['as-ordered']);
  const cautions = new Set<BuyingCaution>();
  // What comes with a new box is measured against that box.
  const insideOf = (id: string) =>
    boxes.find((one) => one.enclosureId === id) ?? collection.enclosures.find((one) => one.id === id) ?? null;
  for (const box of boxes) {
    const { lengthMm, depthMm, heightMm, enclosureId } = box;
    const build = collection.enclosures.find((one) => one.id === enclosureId)?.build;
    const { mostLengthMm = null, mostDepthMm = null, mostHeightMm = null } = build ?? {};
    measures.push(
      { measure: 'box-place', most: { lengthMm: mostLengthMm, depthMm: mostDepthMm, heightMm: mostHeightMm } },
      { measure: 'way-in', lengthMm, depthMm, heightMm },
      { measure: 'what-it-carries' },
    );
    for (const one of ['inside-size', 'doors-and-vents', 'edges'] as const) checks.add(one);
  }
  for (const { thing, enclosureId } of bought) {
    const box = insideOf(enclosureId);
    const top =
      boxes.find((one) => one.enclosureId === enclosureId)?.top ??
      collection.enclosures.find((one) => one.id === enclosureId)?.top;
    const { kind, watts, lamp, distanceMm } = thing;
    const hangs =
      UV_LAMPS.has(kind) || kind === 'basking-lamp' || kind === 'ceramic-heater' || kind === 'radiant-panel';
    if (kind === 'uv-tube') {
      if (box !== null)
        measures.push({ measure: 'tube-in-box', insideMm: box.lengthMm, litMm: lamp?.litLengthMm ?? null });
      measures.push({ measure: 'tube-socket', watts });
    } else if (hangs && kind !== 'radiant-panel') measures.push({ measure: 'lamp-socket', watts });
    if (hangs && box !== null) measures.push({ measure: 'hanging-room', insideMm: box.heightMm, distanceMm });
    if (UV_LAMPS.has(kind) && (top === 'mesh' || (thing.meshShare ?? 1) < 1)) measures.push({ measure: 'mesh-hole' });
    if (kind === 'thermostat') {
      const heater = [...bought.map((one) => one.thing), ...collection.fittings].find(
        (one) => ('key' in one && one.key === thing.regulates) || ('id' in one && one.id === thing.regulates),
      );
      measures.push({ measure: 'thermostat-watts', watts: heater?.watts ?? null, heater: heater?.name ?? null });
      checks.add('thermostat-type');
    }
    if (kind === 'guard') {
      const around = [...bought.map((one) => one.thing), ...collection.fittings].find(
        (one) => ('key' in one && one.key === thing.guards) || ('id' in one && one.id === thing.guards),
      );
      measures.push({ measure: 'guard-size', around: around?.name ?? null });
      checks.add('edges');
    }
    if (kind === 'heat-mat' && box !== null)
      measures.push({ measure: 'mat-on-floor', insideLengthMm: box.lengthMm, insideDepthMm: box.depthMm });
    if (
      (HIDES.has(kind) || kind === 'branches' || kind === 'water-dish' || kind === 'pool' || kind === 'dry-dock') &&
      box !== null
    ) {
      const animals = collection.animals
        .filter((one) => one.enclosureId === enclosureId)
        .map(({ name, lengthMm }) => ({ name, lengthMm }));
      measures.push({ measure: 'hide-size', animals, insideLengthMm: box.lengthMm });
      checks.add('edges');
    }
    if (kind === 'deep-substrate' && box !== null)
      measures.push({ measure: 'layer-volume', insideLengthMm: box.lengthMm, insideDepthMm: box.depthMm });
    if (kind === 'filter' || kind === 'water-heater' || kind === 'chiller') measures.push({ measure: 'water-volume' });
    if (kind === 'outdoor-run' && thing.outdoors !== null)
      measures.push({ measure: 'outdoor-place', lengthMm: thing.outdoors.lengthMm, depthMm: thing.outdoors.depthMm });
    if (isPowered(thing)) {
      const water = collection.fittings.some(
        (one) => one.enclosureId === enclosureId && one.retiredOn === null && NEAR_WATER.has(one.kind),
      );
      measures.push({ measure: 'cable' }, { measure: 'free-socket', water: water || NEAR_WATER.has(kind) });
      for (const one of ['rating-plate', 'market-mark', 'plug-and-cable'] as const) checks.add(one);
      if (water || NEAR_WATER.has(kind)) checks.add('damp-rating');
      cautions.add('used-mains').add('mains');
    }
    if (UV_LAMPS.has(kind)) {
      checks.add('lamp-print');
      cautions.add('used-tube').add('uv-eyes');
    }
    if (UV_LAMPS.has(kind) || kind === 'basking-lamp' || kind === 'ceramic-heater') checks.add('lamp-intact');
    if (HEATERS.has(kind) || kind === 'thermostat') cautions.add('burns');
    if (NATURAL.has(kind)) checks.add('untreated');
  }
  checks.add('keep-proof');
  const first = new Map(measures.map((one) => [JSON.stringify(one), one]));
  return { measures: [...first.values()], checks: inOrder(checks), cautions: [...cautions] };
}

const NEAR_WATER: ReadonlySet<FittingKind> = new Set([
  'mister',
  'pool',
  'filter',
  'water-heater',
  'chiller',
  'dry-dock',
]);
const NATURAL: ReadonlySet<FittingKind> = new Set(['branches', 'deep-substrate', 'plants', 'moist-hide', 'hide']);

const ORDER: readonly ArrivalCheck[] = [
  'as-ordered',
  'inside-size',
  'doors-and-vents',
  'lamp-intact',
  'lamp-print',
  'rating-plate',
  'market-mark',
  'plug-and-cable',
  'damp-rating',
  'thermostat-type',
  'edges',
  'untreated',
  'keep-proof',
];

function inOrder(checks: ReadonlySet<ArrivalCheck>): ArrivalCheck[] {
  return ORDER.filter((one) => checks.has(one));
}

function isPowered({ kind, watts }: Pick<Fitting, 'kind' | 'watts'>): boolean {
  return watts !== null || HEATERS.has(kind) || UV_LAMPS.has(kind) || kind === 'thermostat' || kind === 'timer';
}
