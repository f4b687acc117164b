// The form of what mends a shortfall, before anyone knows its price: what may be done, why nothing is, the one animal and box it is sought
// for, and how a purchase and a free action are written down. Which remedies there are stands in the files that end in -remedies.ts.

import type { PlainDate } from './calendar.ts';
import { monthOf } from './calendar.ts';
import type { Animal, Check, Collection, Fitting, ReadingKind, Setup } from './collection.ts';
import { isFitted, setupOf } from './collection.ts';
import type { NoHeat } from './heat-kits.ts';
import type { NoTube } from './hung-tubes.ts';
import type { Reason } from './judging.ts';
import type { KitAssumption, KitPlace, OwnPart, Pieces } from './kits.ts';
import type { BoxToMake } from './larger-boxes.ts';
import type { Currency, Money } from './money.ts';
import type { Part, PartsList } from './parts.ts';
import { cheapest } from './parts.ts';
import type { Room } from './rooms.ts';
import type { ValueChoices } from './score.ts';
import type { Shortage, SpaceDimension } from './space.ts';
import type { CareLibrary, HideZone, Need, Species, Targets, TemperatureKind } from './species.ts';
import { speciesOf, targetsFor } from './species.ts';
import type { Change } from './upgrades.ts';
import type { ClosingObjection } from './warmth.ts';
import type { YearSaving } from './warmth-year.ts';

/** Ways to cool a box of an animal that heat harms, none of which needs a purchase. */
export type CoolingWay = 'shade' | 'fan' | 'move';

/** Why nothing is proposed that would answer a shortfall. */
export type NoProposal =
  | NoTube
  | { why: 'uv-target-unknown' }
  | { why: 'uv-zones-disagree' }
  | { why: 'lamp-gave-too-much' }
  | NoHeat
  | { why: 'species-forbids'; what: 'novelty' | 'uv-lamp' }
  | { why: 'space-lacks'; shortages: Shortage[] }
  | { why: 'top-stays-open'; objections: ClosingObjection[] };

/** What a proposal is, in figures a sentence can be made of. */
export type ProposedAct =
  | {
      act: 'kit';
      parts: { name: string; what: string }[];
      place: HideZone | null;
      distanceMm: number | null;
      uvi: number | null;
      /** What the keeper has of the kit already, which is neither bought nor priced. */
      owned: OwnPart[];
      assumes: KitAssumption[];
    }
  | ({ act: 'home-made-box' } & BoxToMake)
  | { act: 'insulate'; part: string; mm: number; saving: YearSaving }
  | { act: 'close-top'; part: string; share: number; saving: YearSaving }
  | {
      act: 'box';
      part: string;
      lengthMm: number;
      depthMm: number;
      heightMm: number;
      /** Only a step: of what the animal needs fully grown it gives least in this measure, that share of what the rule asks for. */
      step: { short: SpaceDimension; ratio: number; rule: string } | null;
    }
  | { act: 'renew'; fitting: string }
  | { act: 'outdoor-run'; part: string; fromMonth: number; toMonth: number }
  | { act: 'set-thermostat'; fitting: string; reading: ReadingKind; value: number }
  | { act: 'move-lamp'; fitting: string; distanceMm: number }
  | { act: 'adjust-basking'; fitting: string; side: 'nearer' | 'farther'; value: number }
  | { act: 'set-hours'; fitting: string; hours: number }
  | { act: 'home-made-hide'; place: HideZone }
  | { act: 'scatter-food' }
  | { act: 'vary-prey' }
  | { act: 'swap-objects' }
  | { act: 'take-out'; fitting: string }
  | { act: 'do-check'; check: Check }
  | { act: 'mist-by-hand'; value: number }
  | { act: 'air-more'; value: number }
  | { act: 'cool-down'; kind: TemperatureKind; value: number }
  | { act: 'cool-by'; way: CoolingWay; kind: TemperatureKind; value: number };

/** What proposing takes. `powerPrice` in major units a kWh: null unknown; 'not-ours' when the sum does not pay for power. */
export type Proposing = {
  collection: Collection;
  library: CareLibrary;
  choices: ValueChoices;
  rooms: readonly Room[];
  parts: PartsList;
  currency: Currency;
  powerPrice: number | null | 'not-ours';
  on: PlainDate;
};

/** One animal in its enclosure, for which remedies are sought; `active` is what is fitted there on the day. */
export type Situation = {
  world: Proposing;
  setup: Setup;
  species: Species;
  targets: Targets;
  animalId: string;
  active: Fitting[];
  place: KitPlace;
  room: Room | null;
  /** The enclosure's id. */
  box: string;
};

/** How an animal stands in its enclosure on the day it is asked for. */
export function situationOf(world: Proposing, animal: Animal, enclosureId: string): Situation {
  const { library, on, rooms, parts } = world;
  const setup = setupOf(world.collection, enclosureId);
  const species = speciesOf(library, animal);
  const active = setup.fittings.filter((one) => isFitted(one, on));
  const priced = parts.currency === world.currency.code;
  return {
    world,
    setup,
    species,
    targets: targetsFor(species, animal, monthOf(on)),
    animalId: animal.id,
    active,
    place: { enclosureId, active, list: parts, priced },
    room: rooms.find((one) => one.id === setup.enclosure.build.roomId) ?? null,
    box: enclosureId,
  };
}

/** What could be done about a shortfall: `detail` tells it from other remedies in the same enclosure. */
export type Draft = {
  act: ProposedAct;
  detail: string;
  need: Need;
  /** Null where nothing falls short and money is all that it is about. */
  because: Reason | null;
  changes: Change[];
  parts: Part[];
  priceless?: true;
  /** Nobody but the keeper can say what it costs. */
  unpriced?: true;
  /** What it saves a month, above 0. */
  saves?: Money;
  /** At most one draft of a group makes sense. */
  group?: string;
};

/** That nothing is proposed for a need, and why. */
export type NoRemedy = { need: Need; no: NoProposal };

/** What comes of looking for a way to mend a shortfall: none at all where it is not of the kind that is mended. */
export type Remedy = Draft | NoRemedy;

/** Begins the detail of a draft that serves every enclosure in the room. */
export const ROOM = 'room:';

/** Whether a remedy is something to do. */
export function isDraft(remedy: Remedy): remedy is Draft {
  return 'act' in remedy;
}

/** That nothing is proposed. */
export function refuse(need: Need, no: NoProposal): NoRemedy[] {
  return [{ need, no }];
}

/** The cheapest part of the list that is the thing and fits; undefined where none does. */
export function cheapestOf(at: Situation, what: string, also: (part: Part) => boolean = () => true): Part | undefined {
  return cheapest(at.world.parts, what, also);
}

/** A purchase of parts that work together. */
export function kit(
  need: Need,
  because: Reason,
  detail: string,
  { parts, changes, owned, assumes }: Pieces,
  more: Partial<Extract<ProposedAct, { act: 'kit' }>> = {},
): Draft {
  const named = parts.map(({ name, what }) => ({ name, what }));
  return {
    act: { act: 'kit', parts: named, place: null, distanceMm: null, uvi: null, owned, assumes, ...more },
    detail: `kit ${detail}`,
    need,
    because,
    parts,
    changes,
    // Where the keeper has every part, nothing is left to buy.
    ...(parts.length === 0 ? { priceless: true as const } : {}),
  };
}

/** Something that is done without buying. */
export function free(need: Need, because: Reason, act: ProposedAct, detail: string, changes: Change[]): Draft {
  return { act, detail: `${act.act} ${detail}`, need, because, parts: [], changes, priceless: true };
}
