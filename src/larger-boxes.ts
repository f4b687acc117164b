// Which larger box a keeper could get for an animal: the cheapest of a list that is large enough and goes into the space there is, a cheaper
// step on the way, and one made to measure. Knows which boxes suit which species; how room is reckoned stands in space.ts.

import type { Enclosure, Material, Top } from './collection.ts';
import type { Part, PartsList } from './parts.ts';
import type { BoxMeasures, Shortage, SpaceNeed } from './space.ts';
import { ASSUMED_WALL_MM, extentOf, leastRatio, whatFits } from './space.ts';
import type { Species } from './species.ts';

/** A box to be made, by its inside measures in mm, with what it is made of and how it is closed on top. */
export type BoxToMake = { lengthMm: number; depthMm: number; heightMm: number; material: Material; top: Top };

/** What may be got: boxes of the list, one to make (null: not for this species), and what the space lacks when nothing fits. */
export type LargerBoxes = { bought: Part[]; homeMade: BoxToMake | null; lack: Shortage[] };

/** Whether a box of these walls and this top can house a species at all, whatever its size: it keeps air, warmth, water and the animal. */
export function suitsSpecies({ material, top }: Pick<Enclosure, 'material' | 'top'>, species: HousedSpecies): boolean {
  const { mustAir, holdsWater, openTopped } = housingOf(species);
  if (mustAir && top === 'closed') return false;
  // Mesh walls hold neither warmth nor damp, and only glass holds water; an open top is for those that cannot climb out, and tanks.
  return (
    (material !== 'mesh' || (mustAir && !species.humidity.lifeCritical)) &&
    (material === 'glass' || !holdsWater) &&
    (top === 'open') === openTopped
  );
}

type HousedSpecies = Pick<Species, 'group' | 'habit' | 'humidity' | 'neverPropose'>;

function housingOf(species: HousedSpecies): { mustAir: boolean; holdsWater: boolean; openTopped: boolean } {
  const swims = species.habit === 'aquatic';
  const isAmphibian = species.group === 'frog' || species.group === 'salamander';
  return {
    mustAir: species.neverPropose.includes('close-top'),
    holdsWater: swims || (isAmphibian && species.habit === 'semi-aquatic'),
    openTopped: swims || species.group === 'tortoise' || species.group === 'turtle',
  };
}

/**
 * The larger boxes for a species that needs some room; none when the present one is large enough already, since room beyond the target
 * still adds a little, but nobody is asked to buy a second box for it.
 */
export function largerBoxes(list: PartsList, enclosure: Enclosure, species: Species, needed: SpaceNeed): LargerBoxes {
  const climbs = species.habit === 'climbing';
  const ratioOf = (box: BoxMeasures) => leastRatio(needed, extentOf(box), climbs).ratio;
  const now = ratioOf(enclosure);
  if (now >= 1) return { bought: [], homeMade: null, lack: [] };
  const { mustAir, holdsWater, openTopped } = housingOf(species);
  const suits = ({ enclosure: box }: Part) =>
    box !== undefined && suitsSpecies(box, species) && box.heightMm >= Math.min(400, enclosure.heightMm);
  const { mostLengthMm, mostDepthMm, mostHeightMm, wallMm } = enclosure.build;
  const fit = whatFits(
    needed,
    { lengthMm: mostLengthMm, depthMm: mostDepthMm, heightMm: mostHeightMm },
    list.parts.flatMap((part) => (suits(part) ? [part.enclosure!] : [])),
    { heightCounts: climbs, wallMm: wallMm ?? ASSUMED_WALL_MM },
  );
  const fitting = new Set(fit.boxes.map((one) => one.box));
  const parts = list.parts
    .filter((part) => part.enclosure !== undefined && fitting.has(part.enclosure))
    .map((part) => ({ part, ratio: ratioOf(part.enclosure!) }));
  const enough = parts.filter((one) => one.ratio >= 1).sort((a, b) => a.part.priceHigh - b.part.priceHigh)[0];
  const better = parts
    .filter(
      (one) =>
        one.ratio < 1 &&
        one.ratio >= Math.max(0.5, now * 1.2) &&
        (enough === undefined || one.part.priceHigh < enough.part.priceHigh),
    )
    .sort((a, b) => b.ratio - a.ratio || a.part.priceHigh - b.part.priceHigh)[0];
  const bought = [enough, better].flatMap((one) => (one === undefined ? [] : [one.part]));
  return { bought, homeMade: homeMade(), lack: fit.homeMade.status === 'short' ? fit.homeMade.shortages : [] };

  function homeMade(): BoxToMake | null {
    // What holds water is no work for a keeper's saw.
    if (holdsWater || fit.homeMade.status === 'short') return null;
    const { inside } = fit.homeMade;
    const made: BoxToMake = {
      lengthMm: inside.lengthMm,
      depthMm: inside.depthMm ?? enclosure.depthMm,
      heightMm: inside.heightMm ?? enclosure.heightMm,
      // Wood rots where it is kept damp (common practice, no source).
      material: species.humidity.lifeCritical ? 'pvc' : 'wood',
      top: openTopped ? 'open' : mustAir ? 'mesh' : 'closed',
    };
    return ratioOf(made) >= 1 ? made : null;
  }
}
