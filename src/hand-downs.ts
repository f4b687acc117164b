// What an upgrade frees: the box and the things it takes out, what becomes of them, and which of them would answer a shortfall elsewhere.
// Freed things are used again before anything is bought; a thing whose worth cannot be told without a meter is never proposed.

import type { PlainDate } from './calendar.ts';
import { ageInMonths, monthOf } from './calendar.ts';
import type { Collection, Enclosure, Fitting } from './collection.ts';
import { HEATERS, isFitted, UV_LAMPS } from './collection.ts';
import type { Scoring } from './score.ts';
import { scoreAnimal } from './score.ts';
import type { Need } from './species.ts';
import { speciesOf, targetsFor } from './species.ts';
import type { Change, Upgrade } from './upgrades.ts';
import { applyUpgrades, bareUpgrade } from './upgrades.ts';

/** A box or a fitted thing as it was when it was freed; `key` names it among what its upgrade frees. */
export type FreedThing = { key: string; name: string; from: string } & (
  | { what: 'box'; box: Pick<Enclosure, 'lengthMm' | 'depthMm' | 'heightMm' | 'material' | 'top'> }
  | { what: 'fitting'; fitting: Fitting }
);

const FATES = ['undecided', 'stays', 'handed-down', 'sold', 'spare', 'quarantine', 'recycled'] as const;
/** What becomes of it: it goes on in its own box, to other animals, is sold, kept, kept as a quarantine box, or brought to recycling. */
export type Fate = (typeof FATES)[number];

/**
 * The box an upgrade replaces, what stays behind with that box, and what it takes out. A lamp past its life and what broke are worn and no
 * longer a thing to use again; they are left out.
 */
export function freedBy(upgrade: Pick<Upgrade, 'changes'>, collection: Collection, on: PlainDate): FreedThing[] {
  const freed = new Map<string, FreedThing>();
  const put = (fitting: Fitting | undefined) => {
    if (fitting === undefined || !isFitted(fitting, on) || isWorn(fitting, on)) return;
    const key = `fitting:${fitting.id}`;
    freed.set(key, { key, name: fitting.name, from: fitting.enclosureId, what: 'fitting', fitting });
  };
  for (const change of upgrade.changes) {
    if (change.change === 'retire') put(collection.fittings.find((one) => one.id === change.fittingId));
    if (change.change !== 'replace-box') continue;
    const box = collection.enclosures.find((one) => one.id === change.enclosureId);
    if (box === undefined) continue;
    const { lengthMm, depthMm, heightMm, material, top } = box;
    const key = `box:${box.id}`;
    freed.set(key, {
      key,
      name: box.name,
      from: box.id,
      what: 'box',
      box: { lengthMm, depthMm, heightMm, material, top },
    });
    for (const one of collection.fittings)
      if (one.enclosureId === box.id && one.whenBoxReplaced === 'stays-behind') put(one);
  }
  // What the upgrade itself fits anew under the same name goes on in its box.
  for (const change of upgrade.changes) {
    if (change.change !== 'fit') continue;
    for (const [key, one] of freed)
      if (one.what === 'fitting' && one.name === change.fitting.name && one.fitting.kind === change.fitting.kind)
        freed.delete(key);
  }
  return [...freed.values()];
}

/** The old one of a thing in whose place a new one is since a day, as it was before; null of what is used up, such as substrate. */
export function leftOver(thing: Fitting, on: PlainDate): FreedThing | null {
  if (thing.kind === 'deep-substrate') return null;
  const fitting = { ...thing, retiredOn: on };
  return { key: `fitting:${fitting.id}`, name: fitting.name, from: fitting.enclosureId, what: 'fitting', fitting };
}

/** Whether what a renewal left over was past its life or broken then, so that it can only be kept or thrown away. */
export function isPastUse(freed: FreedThing): boolean {
  if (freed.what !== 'fitting') return false;
  const { brokenOn, retiredOn } = freed.fitting;
  return brokenOn !== null || (retiredOn !== null && isWorn(freed.fitting, retiredOn));
}

function isWorn(fitting: Fitting, on: PlainDate): boolean {
  return fitting.lifeMonths !== null && ageInMonths(fitting.fittedOn, on) >= fitting.lifeMonths;
}

/**
 * What a freed thing changes in another enclosure. A fitted thing brings no distance, no place and no socket along, since they were those of
 * its old box; of its life it has what is left.
 */
export function handDownChange(freed: FreedThing, enclosureId: string, on: PlainDate): Change {
  if (freed.what === 'box') return { change: 'replace-box', enclosureId, ...freed.box };
  const {
    id: _,
    enclosureId: _from,
    fittedOn,
    movedOn: _moved,
    retiredOn: _retired,
    brokenOn: _broken,
    ...kept
  } = freed.fitting;
  const lifeMonths =
    kept.lifeMonths === null ? null : Math.max(1, kept.lifeMonths - Math.floor(ageInMonths(fittedOn, on)));
  return {
    change: 'fit',
    enclosureId,
    fitting: {
      ...kept,
      key: 'handed-down',
      lifeMonths,
      regulates: null,
      guards: null,
      distanceMm: null,
      placed: null,
      outletId: null,
      expects: [],
    },
  };
}

/** The price-0 upgrade by which a freed thing goes to another enclosure, once the upgrade that frees it, if one does, is there. */
export function handDownUpgrade(
  freed: FreedThing,
  {
    freedBy: upgradeId,
    enclosureId,
    name,
    on,
  }: { freedBy: string | null; enclosureId: string; name: string; on: PlainDate },
): Omit<Upgrade, 'id'> {
  const requires = upgradeId === null ? [] : [[upgradeId]];
  return { ...bareUpgrade(name, [handDownChange(freed, enclosureId, on)]), requires };
}

/** A place where a freed thing would raise a need of an animal, and by how much. */
export type HandDownIdea = {
  key: string;
  enclosureId: string;
  raises: { animalId: string; need: Need; from: number; to: number }[];
};

// A need has to rise by this much for a thing to be carried over; less is not worth a sentence (own choices).
const LEAST_RISE = 5;
const LEAST_FALL = 0.5;

/**
 * Where what an upgrade frees, or a renewal left over where there is none, would answer a shortfall, tried on paper after that upgrade. Never proposed: UV lamps, whose hours and
 * distance only a meter settles; heaters, which take a thermostat, a guard and a place of their own; a box that does not fit the place or
 * that the species rules out; anything that lowers a need of anyone there.
 */
export function handDownIdeas(upgrade: Upgrade | null, freed: readonly FreedThing[], scoring: Scoring): HandDownIdea[] {
  const { collection, library, on } = scoring;
  const before =
    upgrade === null || upgrade.status === 'fitted' ? collection : applyUpgrades(collection, [upgrade], on);
  return freed.flatMap((thing) => {
    if (thing.what === 'fitting' && (UV_LAMPS.has(thing.fitting.kind) || HEATERS.has(thing.fitting.kind))) return [];
    return collection.enclosures.flatMap((box): HandDownIdea[] => {
      const animals = collection.animals.filter((one) => one.enclosureId === box.id);
      if (box.id === thing.from || animals.length === 0) return [];
      if (thing.what === 'box' && !mayStand(thing.box, box)) return [];
      const forbidden = animals.some((one) => {
        const never = targetsFor(speciesOf(library, one), one, monthOf(on)).neverPropose;
        if (thing.what !== 'box') return never.includes('novelty') && thing.fitting.kind === 'novelty';
        return (
          (never.includes('more-height') && thing.box.heightMm > box.heightMm) ||
          (never.includes('close-top') && thing.box.top === 'closed' && box.top !== 'closed')
        );
      });
      if (forbidden) return [];
      const moved = handDownUpgrade(thing, { freedBy: upgrade?.id ?? null, enclosureId: box.id, name: thing.name, on });
      const after = applyUpgrades(before, [{ ...moved, id: 'handed down' }], on);
      const raises: HandDownIdea['raises'] = [];
      for (const animal of animals) {
        const was = scoreAnimal(animal, { ...scoring, collection: before })!;
        const is = scoreAnimal(animal, { ...scoring, collection: after })!;
        for (const old of was.needs) {
          const need = is.needs.find((one) => one.need === old.need);
          if (need === undefined) continue;
          // What only has to be read again is not worse; what cannot become as good again is.
          if (old.value - need.value >= LEAST_FALL && need.high < old.high - LEAST_FALL) return [];
          if (need.severe && !old.severe) return [];
          if (need.value - old.value >= LEAST_RISE)
            raises.push({ animalId: animal.id, need: old.need, from: old.value, to: need.value });
        }
      }
      return raises.length === 0 ? [] : [{ key: thing.key, enclosureId: box.id, raises }];
    });
  });
}

// A box is larger outside than inside, so it must be under what the place allows; where no limit was entered the keeper measures.
function mayStand(box: Pick<Enclosure, 'lengthMm' | 'depthMm' | 'heightMm'>, { build }: Enclosure): boolean {
  const fits = (mm: number, most: number | null) => most === null || mm < most;
  return (
    fits(box.lengthMm, build.mostLengthMm) &&
    fits(box.depthMm, build.mostDepthMm) &&
    fits(box.heightMm, build.mostHeightMm)
  );
}
