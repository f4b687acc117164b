// Which generic upgrades could mend the shortfalls of a set-up: free actions first, then whole kits that can work together. Knows what
// must never be proposed; it gives no points, for those come from scoring the set-up with the kit fitted.

import type { PlainDate } from './calendar.ts';
import { DAYS_A_MONTH, monthOf } from './calendar.ts';
import type { Check, Collection, Fitting, FittingKind, LampOutput, ReadingKind, Setup } from './collection.ts';
import { HEATERS, influenceOf, isFitted, isGuarded, setupOf, UV_LAMPS } from './collection.ts';
import { ESTIMATE_WIDTH, knownOf } from './evidence.ts';
import type { NoHeat } from './heat-kits.ts';
import { expectedOf, heatKit, isHeatSensitive, middleOf } from './heat-kits.ts';
import type { NoTube } from './hung-tubes.ts';
import { tubesThatHang } from './hung-tubes.ts';
import type { KitAssumption, KitPlace, OwnPart, Pieces } from './kits.ts';
import { fitted, guardFor, pieces, RENEWED, thermostat, timerFor, together, tubeWithFixture } from './kits.ts';
import type { BoxToMake } from './larger-boxes.ts';
import { largerBoxes } from './larger-boxes.ts';
import { distanceForUvi, GUARD_SHARE, readUnder } from './light.ts';
import { correctionFor } from './light-scene.ts';
import type { Currency, Money } from './money.ts';
import { costAtRate, money, noMoney, sumMoney } from './money.ts';
import type { Reason } from './needs.ts';
import { rightUvi, uvCeiling } from './needs.ts';
import type { Part, PartsList } from './parts.ts';
import { cheapest } from './parts.ts';
import type { Room } from './rooms.ts';
import type { AnimalScore, ValueChoices } from './score.ts';
import { scoreAnimal } from './score.ts';
import type { Shortage } from './space.ts';
import { spaceNeeded } from './space.ts';
import type { CareLibrary, Cited, HideZone, Need, Species, Targets, TemperatureKind, UvZoneBand } from './species.ts';
import { projectLength, sourcesFromMemory, speciesOf, targetsFor } from './species.ts';
import type { Change, NewFitting, Upgrade } from './upgrades.ts';
import { ANSWERED_ANEW, applyUpgrades, bareFitting, enclosuresOf } from './upgrades.ts';
import type { ClosingObjection, HeatLoss } from './warmth.ts';
import { heatLossOf, INSULATORS, lossWithTopCovered, objectionsToClosing } from './warmth.ts';
import type { YearSaving } from './warmth-year.ts';
import { savingInYear } from './warmth-year.ts';

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

/** A need of some animals of an enclosure for which nothing is proposed, and why. */
export type Unanswered = { enclosureId: string; animalIds: string[]; need: Need; no: NoProposal };

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
  | { act: 'box'; part: string; lengthMm: number; depthMm: number; heightMm: number }
  | { act: 'renew'; fitting: string }
  | { act: 'outdoor-run'; part: string; fromMonth: number; toMonth: number }
  | { act: 'set-thermostat'; fitting: string; reading: ReadingKind; value: number }
  | { act: 'move-lamp'; fitting: string; distanceMm: number }
  | { act: 'adjust-basking'; fitting: string; side: 'nearer' | 'farther'; value: number }
  | { act: 'set-hours'; fitting: string; hours: number }
  | { act: 'home-made-hide'; place: HideZone }
  | { act: 'scatter-food' }
  | { act: 'swap-objects' }
  | { act: 'take-out'; fitting: string }
  | { act: 'do-check'; check: Check }
  | { act: 'mist-by-hand'; value: number }
  | { act: 'air-more'; value: number }
  | { act: 'cool-down'; kind: TemperatureKind; value: number }
  | { act: 'cool-by'; way: CoolingWay; kind: TemperatureKind; value: number };

/**
 * A need that a proposal lowers, from one value to another. `untilMeasured`: only because what it changes has to be read again; at its best
 * the need is worth as much as before.
 */
export type Lowered = {
  animalId: string;
  need: Need;
  from: number;
  to: number;
  severe: boolean;
  untilMeasured: boolean;
};

/**
 * One proposal: what it is, whom it serves, the shortfalls it answers, and the upgrade it would become. `priced` is false when the
 * ledger's currency is not the catalogue's, so that the keeper must enter a price; `powerKnown` false when there is no tariff.
 */
export type Proposal = {
  key: string;
  act: ProposedAct;
  enclosureId: string;
  animalIds: string[];
  need: Need;
  isFree: boolean;
  /** It cools what is beyond a limit that endangers the animal, so it is done first. */
  isUrgent: boolean;
  priced: boolean;
  powerKnown: boolean;
  because: Reason[];
  /** What it makes worse for whoever lives there, found by fitting it on paper. */
  lowers: Lowered[];
  /** Whether every shortfall it answers is held against a target that is from memory alone. */
  isFromMemory: boolean;
  upgrade: Omit<Upgrade, 'id' | 'name' | 'status' | 'origin' | 'note'>;
};

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

/**
 * Proposals for every shortfall the score finds, urgent cooling first, then free actions, in the order of the points lost. Nothing is proposed that the
 * species rules out, that needs a second thing not in the kit, or whose target is unknown.
 */
export function proposeUpgrades(proposing: Proposing): Proposal[] {
  return surveyUpgrades(proposing).proposals;
}

/** The proposals as `proposeUpgrades` gives them, and the needs that none answers, each with its reason. */
export function surveyUpgrades(proposing: Proposing): { proposals: Proposal[]; unanswered: Unanswered[] } {
  const { collection, library, choices, on } = proposing;
  const found = new Map<string, Proposal>();
  const unanswered = new Map<string, Unanswered>();
  const scores = new Map<string, AnimalScore>();
  for (const animal of collection.animals) {
    if (animal.enclosureId === null) continue;
    const score = scoreAnimal(animal, { collection, library, choices, on, knownOn: on })!;
    scores.set(animal.id, score);
    const setup = setupOf(collection, animal.enclosureId);
    const species = speciesOf(library, animal);
    const targets = targetsFor(species, animal, monthOf(on));
    const proposer = new Proposer(proposing, setup, species, targets, animal.id);
    for (const proposal of proposer.answer(score)) {
      const same = found.get(proposal.key);
      if (same === undefined) found.set(proposal.key, proposal);
      else {
        if (!same.animalIds.includes(animal.id)) same.animalIds.push(animal.id);
        same.isFromMemory &&= proposal.isFromMemory;
      }
    }
    for (const { need, no } of proposer.unanswered) {
      const key = JSON.stringify([animal.enclosureId, need, no]);
      const same = unanswered.get(key) ?? { enclosureId: animal.enclosureId, animalIds: [], need, no };
      if (!same.animalIds.includes(animal.id)) same.animalIds.push(animal.id);
      unanswered.set(key, same);
    }
  }
  for (const proposal of found.values()) proposal.lowers = loweredBy(proposal, proposing, scores);
  const proposals = [...found.values()].sort(
    (a, b) => Number(b.isUrgent) - Number(a.isUrgent) || Number(b.isFree) - Number(a.isFree),
  );
  return { proposals, unanswered: [...unanswered.values()] };
}

// A fall of less than this many points is not worth a sentence.
const LEAST_FALL = 0.5;

function loweredBy(
  { upgrade }: Proposal,
  { collection, library, choices, on }: Proposing,
  scores: ReadonlyMap<string, AnimalScore>,
): Lowered[] {
  const onPaper: Upgrade = { ...upgrade, id: 'on paper', name: '', status: 'proposed', origin: 'proposed', note: '' };
  // Only who lives where something changes can be worse off for it, and scoring them takes nothing of other enclosures.
  const there = only(collection, new Set(enclosuresOf(onPaper, collection)));
  const after = applyUpgrades(there, [onPaper], on);
  return there.animals.flatMap((animal) => {
    const then = scoreAnimal(animal, { collection: after, library, choices, on, knownOn: on })!;
    return scores.get(animal.id)!.needs.flatMap((old): Lowered[] => {
      const need = then.needs.find((one) => one.need === old.need);
      const to = need?.value ?? 0;
      const severe = need?.severe === true && !old.severe;
      if (old.value - to < LEAST_FALL && !severe) return [];
      const untilMeasured = !severe && (need?.high ?? 0) > old.high - LEAST_FALL;
      return [{ animalId: animal.id, need: old.need, from: old.value, to, severe, untilMeasured }];
    });
  });
}

function only(collection: Collection, places: ReadonlySet<string>): Collection {
  const here = (one: { enclosureId: string | null }) => one.enclosureId !== null && places.has(one.enclosureId);
  return {
    ...collection,
    animals: collection.animals.filter(here),
    enclosures: collection.enclosures.filter((one) => places.has(one.id)),
    fittings: collection.fittings.filter(here),
    readings: collection.readings.filter(here),
    answers: collection.answers.filter(here),
  };
}

/** Whether an upgrade came from a proposal to cool what is too warm, by the key of that proposal: such a thing is done before any other. */
export function coolsAtOnce(proposalKey: string | null): boolean {
  return proposalKey !== null && /:cool-(down|by) /.test(proposalKey);
}

// What a winter rest is like is set before it begins and by a vet; nothing about warmth, damp or light is proposed while it lasts.
const IN_ACTIVE_SEASON: ReadonlySet<Need> = new Set(['heat', 'humidity', 'uv']);

// Reasons that are answered by bringing a reading to another value.
const ADJUSTED: ReadonlySet<Reason['why']> = new Set([
  'temperature-outside',
  'humidity-outside',
  'uv-below',
  'uv-above',
]);

type Draft = {
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

// Begins the key of a proposal that serves every enclosure in the room.
const ROOM = 'room:';

// What a fan takes off the air of a moist box by drying it, °C: 2 to 4, from memory.
const FAN_COOLS = 2;

// How thick insulation is taken to be, how much of a mesh is covered so that air still passes, and how far a sheet keeps from a lamp or
// heater, mm: own assumptions; what the maker of a lamp asks for wins.
const INSULATION_MM = 20;
const COVERED_SHARE = 2 / 3;
const CLEARANCE_MM = 200;

const OVERHEAD: ReadonlySet<FittingKind> = new Set([...UV_LAMPS, 'basking-lamp', 'ceramic-heater', 'radiant-panel']);

// Readings that moving or warmer air changes.
const AIRY: ReadonlySet<string> = new Set<ReadingKind>(['warm-air', 'cool-end-air', 'night-air']);

// One animal in its enclosure: turns each reason of its score into drafts, and drafts into proposals with prices.
class Proposer {
  readonly world: Proposing;
  readonly setup: Setup;
  readonly species: Species;
  readonly targets: Targets;
  readonly animalId: string;
  readonly active: Fitting[];
  readonly place: KitPlace;
  readonly unanswered: { need: Need; no: NoProposal }[] = [];

  constructor(world: Proposing, setup: Setup, species: Species, targets: Targets, animalId: string) {
    this.world = world;
    this.setup = setup;
    this.species = species;
    this.targets = targets;
    this.animalId = animalId;
    this.active = setup.fittings.filter((one) => isFitted(one, world.on));
    const priced = world.parts.currency === world.currency.code;
    this.place = { enclosureId: setup.enclosure.id, active: this.active, list: world.parts, priced };
  }

  answer(score: AnimalScore): Proposal[] {
    const outdoors = this.outdoorRun();
    const drafts = score.needs.flatMap((need) =>
      need.reasons.flatMap(({ reason, cited, lost }) =>
        this.promisesMore(reason, lost)
          ? this.draftsFor(need.need, reason).map((draft) => this.proposal(draft, cited))
          : [],
      ),
    );
    const warmer = this.targets.season === 'active' ? [...this.insulate(), ...this.coverTop('heat', null)] : [];
    return [
      ...(outdoors === null ? [] : [this.proposal(outdoors, this.targets.outdoors)]),
      ...drafts,
      ...warmer.map((draft) => this.proposal(draft, null)),
    ];
  }

  // What an adjustment promises counts as an estimate until it is measured. A measured value that loses less than an estimate, because it
  // is outside its band by hardly more than the error of the instrument, is worth more as it stands.
  promisesMore(reason: Reason, lost: number): boolean {
    return !ADJUSTED.has(reason.why) || lost > ESTIMATE_WIDTH * (1 - this.world.choices.alpha);
  }

  draftsFor(need: Need, reason: Reason): Draft[] {
    if (this.targets.season !== 'active' && IN_ACTIVE_SEASON.has(need)) return [];
    switch (reason.why) {
      case 'heater-unregulated':
        return this.regulate(need, reason, reason.fitting);
      case 'heater-unguarded':
        return this.guard(need, reason, reason.fitting);
      case 'rock-heater':
        return this.takeOut(need, reason, reason.fitting);
      case 'check-failed':
      case 'check-unknown':
        return this.check(need, reason, reason.check);
      case 'temperature-outside':
        return this.adjustHeat(need, reason);
      case 'no-heat-fitted':
        return this.fitHeat(need, reason, reason.kind);
      case 'no-uv-fitted':
        return this.fitUv(need, reason);
      case 'uv-lamp-past-life':
        return this.renewLamps(need, reason);
      case 'uv-below':
      case 'uv-above':
        return this.adjustUv(need, reason);
      case 'uv-hours':
        return this.setHours(need, reason, middleOf(reason));
      case 'uv-hours-unknown':
        return this.setHours(need, reason, middleOf(this.targets.uv.hours));
      case 'uv-no-retreat':
        return this.hide(need, reason, 'cool');
      case 'hide-missing':
        return this.hide(need, reason, reason.zone);
      case 'no-moist-retreat':
        return this.hide(need, reason, 'moist');
      case 'humidity-outside':
        return this.adjustHumidity(need, reason);
      case 'space-short':
        return this.largerBox(need, reason);
      case 'enrichment-missing':
        return this.enrich(need, reason);
      case 'water-feature-missing':
        return this.water(need, reason, reason.feature);
      default:
        return [];
    }
  }

  regulate(need: Need, because: Reason, name: string): Draft[] {
    const heater = this.active.find((one) => one.name === name && HEATERS.has(one.kind));
    if (heater === undefined) return [];
    const control = thermostat(this.place, heater.kind, heater.watts ?? 0, {
      regulates: heater.id,
      expects: expectedOf(heater.kind, this.targets),
    });
    if (control === null) return this.nothing(need, { why: 'part-missing', what: 'thermostat' });
    const rating = control.parts[0]?.controls?.maxWatts;
    return [
      this.kit(need, because, heater.id, {
        ...control,
        changes: [...control.changes, { change: 'answer', enclosureId: this.box, check: 'probe-in-place' }],
        assumes: [
          ...control.assumes,
          ...(heater.watts === null && rating !== undefined
            ? [{ assumes: 'watts-not-entered' as const, mostWatts: rating }]
            : []),
        ],
      }),
    ];
  }

  guard(need: Need, because: Reason, name: string): Draft[] {
    const heater = this.active.find((one) => one.name === name && HEATERS.has(one.kind));
    const guard = guardFor(this.place, heater?.id ?? '');
    if (heater === undefined || guard === null) return [];
    return [this.kit(need, because, heater.id, guard)];
  }

  takeOut(need: Need, because: Reason, name: string): Draft[] {
    const thing = this.active.find((one) => one.name === name);
    if (thing === undefined) return [];
    return [
      this.free(need, because, { act: 'take-out', fitting: name }, thing.id, [
        { change: 'retire', fittingId: thing.id },
      ]),
    ];
  }

  check(need: Need, because: Reason, check: Check): Draft[] {
    const answer: Change = { change: 'answer', enclosureId: this.box, check };
    const bought: Partial<Record<Check, string>> = {
      'smoke-alarm': 'smoke-alarm',
      'residual-current-device': 'residual-current-device',
      'escape-proof': 'door-lock',
    };
    // What is merely not answered is a question for the keeper, not a purchase.
    if (because.why === 'check-unknown') return [];
    const part = bought[check] === undefined ? undefined : this.part(bought[check]);
    if (check === 'smoke-alarm' && part !== undefined) return [this.alarmForTheRoom(need, because, part)];
    if (bought[check] !== undefined)
      return part === undefined ? [] : [this.kit(need, because, check, pieces([part], [answer]))];
    return [this.free(need, because, { act: 'do-check', check }, check, [answer])];
  }

  // One alarm serves the room, so it is proposed once and counts in every enclosure that lacks it.
  alarmForTheRoom(need: Need, because: Reason, part: Part): Draft {
    const lacking = this.world.collection.answers.filter((one) => one.check === 'smoke-alarm' && one.answer === 'no');
    const changes = lacking.map(
      (one): Change => ({ change: 'answer', enclosureId: one.enclosureId, check: 'smoke-alarm' }),
    );
    return { ...this.kit(need, because, 'smoke-alarm', pieces([part], changes)), detail: `${ROOM}smoke-alarm` };
  }

  adjustHeat(need: Need, because: Reason & { why: 'temperature-outside' }): Draft[] {
    if (because.kind === 'body') return [];
    const reading: ReadingKind = because.kind;
    const value = middleOf(because);
    const heater = this.heaterOf(reading);
    if (heater === null) {
      return because.side === 'below'
        ? [...this.fitHeat(need, because, because.kind), ...(AIRY.has(reading) ? this.coverTop(need, because) : [])]
        : this.coolDown(need, because);
    }
    const thermostat = this.active.find((one) => one.kind === 'thermostat' && one.regulates === heater.id);
    const changes: Change[] = [{ change: 'predict', enclosureId: this.box, reading, value }];
    if (thermostat !== undefined && reading !== 'cool-end-air') {
      // A thermostat holds one temperature: of two set points only one can be chosen.
      const act: ProposedAct = { act: 'set-thermostat', fitting: thermostat.name, reading, value };
      const draft = this.free(need, because, act, reading, changes);
      // Turned down for one place it is turned down for all, so that an urgent one excludes no other.
      return this.isUrgent(because)
        ? [draft, ...this.coolBy(need, because)]
        : [{ ...draft, group: `setting of ${thermostat.id}` }];
    }
    if (heater.kind === 'basking-lamp' && reading === 'hot-spot-surface') {
      const side = because.side === 'below' ? 'nearer' : 'farther';
      return [this.free(need, because, { act: 'adjust-basking', fitting: heater.name, side, value }, reading, changes)];
    }
    return because.side === 'above' ? this.coolDown(need, because) : [];
  }

  coolDown(need: Need, because: Reason & { why: 'temperature-outside' }): Draft[] {
    if (because.kind === 'body') return [];
    const value = because.high;
    return [
      this.free(need, because, { act: 'cool-down', kind: because.kind, value }, because.kind, [
        { change: 'predict', enclosureId: this.box, reading: because.kind, value },
      ]),
      ...this.coolBy(need, because),
    ];
  }

  // Frogs and salamanders die of warmth that other animals seek; they are cooled from outside, one way at a time.
  coolBy(need: Need, because: Reason & { why: 'temperature-outside' }): Draft[] {
    if (!isHeatSensitive(this.species) || !this.isUrgent(because) || because.kind === 'body') return [];
    const { kind, high: value } = because;
    const group = `cooling of ${this.box} ${kind}`;
    const free = (['shade', 'fan', 'move'] as const).map((way) => ({
      ...this.free(need, because, { act: 'cool-by', way, kind, value }, `${way} ${kind}`, [
        { change: 'predict', enclosureId: this.box, reading: kind as ReadingKind, value },
      ]),
      group,
    }));
    return [...free, ...this.coolingBought(need, because, kind).map((draft) => ({ ...draft, group }))];
  }

  // What is bought to cool: a fan for the air, which takes off little, and a chiller for water, which holds what it is set to.
  coolingBought(
    need: Need,
    because: Reason & { why: 'temperature-outside' },
    kind: Exclude<TemperatureKind, 'body'>,
  ): Draft[] {
    const what = kind === 'water' ? 'chiller' : AIRY.has(kind) ? 'fan' : null;
    const part = what === null ? undefined : this.part(what);
    if (what === null || part === undefined || this.active.some((one) => one.kind === what)) return [];
    const value = what === 'chiller' ? because.high : Math.max(because.high, because.reading - FAN_COOLS);
    return [
      this.kit(need, because, what, {
        ...pieces([part], [fitted(this.place, part, what, { expects: [{ reading: kind, value }] })]),
        assumes: what === 'fan' ? [{ assumes: 'fan-cools', byCelsius: FAN_COOLS }] : [],
      }),
    ];
  }

  isUrgent(because: Reason): boolean {
    return (
      because.why === 'temperature-outside' &&
      because.side === 'above' &&
      this.targets.temperatures.some((one) => one.kind === because.kind && one.criticalAbove)
    );
  }

  fitHeat(need: Need, because: Reason, kind: TemperatureKind): Draft[] {
    if (kind === 'body') return [];
    const { setup, species, targets, place, room } = this;
    const { library, on } = this.world;
    const isReadTooLow = because.why === 'temperature-outside';
    const found = heatKit({ place, setup, species, targets, room, library, on }, kind, isReadTooLow);
    if (found.status === 'none') {
      const { status: _, ...no } = found;
      return this.nothing(need, no);
    }
    return [this.kit(need, because, found.detail, found.kit)];
  }

  get room(): Room | null {
    return this.world.rooms.find((one) => one.id === this.setup.enclosure.build.roomId) ?? null;
  }

  savingWith(after: HeatLoss): YearSaving {
    const { library, on, powerPrice, currency } = this.world;
    return savingInYear({ setup: this.setup, room: this.room, library, on }, after, powerPrice, currency);
  }

  // Proposed for the money it saves, and only where that can be reckoned.
  insulate(): Draft[] {
    const part = this.part('insulation');
    if (part === undefined || this.active.some((one) => one.kind === 'insulation')) return [];
    const { lambda } = INSULATORS['foam-board'];
    const layers = [{ faces: ['back', 'left', 'right'] as const, mm: INSULATION_MM, lambda }];
    const saving = this.savingWith(heatLossOf(this.setup.enclosure, { layers }));
    if (saving.status !== 'saves' || saving.kwh.likely <= 0) return [];
    return [
      {
        act: { act: 'insulate', part: part.name, mm: INSULATION_MM, saving },
        detail: 'insulate',
        need: 'heat',
        because: null,
        parts: [part],
        changes: [fitted(this.place, part, 'insulation', {})],
        ...(saving.cost === null ? {} : { saves: saving.cost }),
      },
    ];
  }

  // A part of a mesh covered, so that warmth and damp stay: for a reading that is too low, or for the money where that is known.
  coverTop(need: Need, because: Reason | null): Draft[] {
    const { enclosure, occupants } = this.setup;
    const part = this.part('top-cover');
    if (enclosure.top !== 'mesh' || part === undefined || this.active.some((one) => one.kind === 'insulation'))
      return [];
    const saving = this.savingWith(lossWithTopCovered(enclosure, COVERED_SHARE));
    const isWorthIt = because !== null || (saving.status === 'saves' && saving.kwh.likely > 0);
    if (!isWorthIt) return [];
    const objections = objectionsToClosing({
      withinLampClearance: this.active.some(
        (one) => OVERHEAD.has(one.kind) && (one.placed === null || one.placed.zMm > enclosure.heightMm - CLEARANCE_MM),
      ),
      // A third of the mesh stays open.
      overRequiredVents: false,
      needsMovingAir: occupants.some((one) => speciesOf(this.world.library, one).neverPropose.includes('close-top')),
    });
    if (objections.length > 0) return this.nothing(need, { why: 'top-stays-open', objections });
    return [
      {
        act: { act: 'close-top', part: part.name, share: COVERED_SHARE, saving },
        detail: 'close-top',
        need,
        because,
        parts: [part],
        changes: [fitted(this.place, part, 'insulation', { key: 'cover' })],
        ...(saving.status === 'unknown' || saving.cost === null ? {} : { saves: saving.cost }),
      },
    ];
  }

  nothing(need: Need, no: NoProposal): [] {
    this.unanswered.push({ need, no });
    return [];
  }

  fitUv(need: Need, because: Reason): Draft[] {
    if (this.species.neverPropose.includes('uv-lamp'))
      return this.nothing(need, { why: 'species-forbids', what: 'uv-lamp' });
    const [wanted, right] = [this.wantedUvi(), rightUvi(this.uvBands(), this.isPale())];
    if (wanted === null || right === null)
      return this.nothing(need, { why: this.uvBands().length === 0 ? 'uv-target-unknown' : 'uv-zones-disagree' });
    const { parts } = this.world;
    const place = this.active.find((one) => one.kind === 'basking-place' && one.placed !== null)?.placed ?? null;
    const stands = place === null ? null : place.zMm + (place.heightMm ?? 0);
    const aim = { wanted, ...right };
    const found = tubesThatHang(parts, this.setup.enclosure, stands, aim, this.setup.lightCorrection ?? null);
    if (found.status === 'none') {
      const { status: _, ...no } = found;
      return this.nothing(need, no);
    }
    const takenOut = this.lamps();
    const kits = found.tubes.flatMap((tube) => {
      const lit = tubeWithFixture(this.place, tube.part, takenOut);
      return lit === null ? [] : [{ tube, lit, price: sumMoney(lit.parts.map((one) => one.priceHigh)) }];
    });
    const best = kits.sort((a, b) => a.price - b.price || b.tube.distanceMm - a.tube.distanceMm)[0];
    if (best === undefined) return this.nothing(need, { why: 'part-missing', what: 'fixture' });
    const { distanceMm, meshShare, uvi, part } = best.tube;
    const timer = timerFor(this.place, 'tube', takenOut);
    // A lamp without a dark place to leave it for would do harm, so the first hide comes with it.
    const dark = this.active.some((one) => one.kind === 'hide' || one.kind === 'moist-hide')
      ? undefined
      : this.part('hide');
    const whole = together(
      pieces(
        [],
        takenOut.map((one): Change => ({ change: 'retire', fittingId: one.id })),
      ),
      best.lit,
      pieces(
        [],
        [
          fitted(this.place, part, 'uv-tube', {
            key: 'tube',
            distanceMm,
            meshShare,
            hoursPerDay: middleOf(this.targets.uv.hours),
          }),
        ],
        [
          part.lamp.reflector === 'with'
            ? { assumes: 'figures-with-reflector', standing: part.standing }
            : { assumes: 'bare-figures' },
          ...(meshShare === 1 ? [] : [{ assumes: 'mesh-share' as const, share: meshShare }]),
          ...(stands === null ? [{ assumes: 'place-height-unknown' as const }] : []),
        ],
      ),
      ...(timer === null ? [] : [timer]),
      ...(dark === undefined ? [] : [pieces([dark], [fitted(this.place, dark, 'hide', { place: 'cool' })])]),
    );
    return [this.kit(need, because, 'uv', whole, { distanceMm, uvi })];
  }

  renewLamps(need: Need, because: Reason): Draft[] {
    // A lamp that gave too much when it was young would do so again; it has to hang elsewhere or be another one.
    const known = knownOf(this.setup, 'uvi-basking', this.world.on, this.world.on);
    if (known.status === 'known' && known.value > uvCeiling(this.uvBands(), this.isPale()))
      return this.nothing(need, { why: 'lamp-gave-too-much' });
    return this.lamps().flatMap((lamp) => {
      if (lamp.lifeMonths === null) return [];
      const alike =
        this.world.parts.parts.find((one) => one.what === lamp.kind && one.lamp?.uvi === lamp.lamp?.uvi) ??
        this.part(lamp.kind);
      if (alike === undefined) return [];
      // What the keeper paid for a renewal is known better than any list; the fitting already pays for its power.
      const price = lamp.renewalPrice ?? alike.priceHigh;
      const part = { ...alike, lifeMonths: lamp.lifeMonths, watts: null, priceLow: price, priceHigh: price };
      return [
        {
          act: { act: 'renew' as const, fitting: lamp.name },
          detail: `renew ${lamp.id}`,
          need,
          because,
          parts: [part],
          changes: [{ change: 'renew' as const, fittingId: lamp.id }],
        },
      ];
    });
  }

  adjustUv(need: Need, because: Reason): Draft[] {
    const wanted = this.wantedUvi();
    const lamps = this.lamps();
    const lamp = lamps[0];
    if (wanted === null || lamp === undefined) return [];
    if (lamps.length !== 1 || lamp.lamp === null || lamp.distanceMm === null) {
      // Without its geometry nobody can say where the lamp should hang: too much goes out, too little makes way for a known one.
      return because.why === 'uv-below'
        ? this.fitUv(need, because)
        : lamps.flatMap((one) => this.takeOut(need, because, one.name));
    }
    // A reading taken under this lamp says more about it than its packaging: it sets the strength, the geometry the fall.
    const known = knownOf(this.setup, 'uvi-basking', this.world.on, this.world.on);
    const output: LampOutput =
      known.status === 'known' && known.from === 'measured'
        ? readUnder(lamp.lamp, lamp.distanceMm, known.value)
        : lamp.lamp;
    if (output.uvi === 0) return [];
    // What was read under the lamp was read through its guard; what is only expected of it was not.
    const onlyExpected = output === lamp.lamp;
    const guarded = onlyExpected && isGuarded(lamp, this.active);
    const factor = onlyExpected ? correctionFor(output, this.setup.lightCorrection ?? null) : 1;
    const distance = distanceForUvi(output, lamp.meshShare, wanted / ((guarded ? GUARD_SHARE : 1) * factor));
    if (distance === null || distance < 150 || distance > this.setup.enclosure.heightMm - 50)
      return because.why === 'uv-below' ? this.fitUv(need, because) : [];
    const distanceMm = Math.round(distance / 10) * 10;
    return [
      this.free(need, because, { act: 'move-lamp', fitting: lamp.name, distanceMm }, lamp.id, [
        {
          change: 'move',
          fittingId: lamp.id,
          distanceMm,
          meshShare: null,
          place: null,
          outOfReach: null,
          placed: lamp.placed === null ? null : { ...lamp.placed, zMm: lamp.placed.zMm + distanceMm - lamp.distanceMm },
        },
        { change: 'predict', enclosureId: this.box, reading: 'uvi-basking', value: Math.round(wanted * 10) / 10 },
      ]),
    ];
  }

  setHours(need: Need, because: Reason, hours: number): Draft[] {
    return this.lamps().map((lamp) =>
      this.free(need, because, { act: 'set-hours', fitting: lamp.name, hours }, lamp.id, [
        { change: 'set-hours', fittingId: lamp.id, hoursPerDay: hours },
      ]),
    );
  }

  hide(need: Need, because: Reason, zone: HideZone): Draft[] {
    const drafts: Draft[] = [];
    const home = (kind: FittingKind): NewFitting => ({ ...bareFitting(kind, 'Home-made hide'), place: zone });
    if (zone === 'moist') {
      const box = this.part('moist-hide');
      if (box !== undefined)
        drafts.push(
          this.kit(need, because, 'moist', pieces([box], [fitted(this.place, box, 'moist-hide', { place: 'moist' })]), {
            place: 'moist',
          }),
        );
      return drafts;
    }
    if (zone === 'under-water' || zone === 'high') {
      const plants = zone === 'high' ? this.part('hide', (one) => one.id.includes('cork')) : this.part('plants');
      if (plants === undefined) return [];
      const kind = zone === 'high' ? 'hide' : 'plants';
      const cover = pieces([plants], [fitted(this.place, plants, kind, { place: zone })]);
      return [this.kit(need, because, zone, cover, { place: zone })];
    }
    // Cardboard rots where it is kept damp; there only a bought hide will do.
    const wet = this.species.habit === 'aquatic' || this.species.habit === 'semi-aquatic';
    if (!wet && this.species.group !== 'frog' && this.species.group !== 'salamander') {
      return [
        this.free(need, because, { act: 'home-made-hide', place: zone }, zone, [
          { change: 'fit', enclosureId: this.box, fitting: home('hide') },
        ]),
      ];
    }
    const hide = this.part('hide');
    return hide === undefined
      ? []
      : [
          this.kit(need, because, zone, pieces([hide], [fitted(this.place, hide, 'hide', { place: zone })]), {
            place: zone,
          }),
        ];
  }

  adjustHumidity(need: Need, because: Reason & { why: 'humidity-outside' }): Draft[] {
    const reading: ReadingKind = because.time === 'day' ? 'humidity-day' : 'humidity-night';
    const value = middleOf(because);
    const changes: Change[] = [{ change: 'predict', enclosureId: this.box, reading, value }];
    const act: ProposedAct = because.side === 'below' ? { act: 'mist-by-hand', value } : { act: 'air-more', value };
    const cover = because.side === 'below' ? this.coverTop(need, because) : [];
    return [this.free(need, because, act, reading, changes), ...cover];
  }

  largerBox(need: Need, because: Reason & { why: 'space-short' }): Draft[] {
    const { enclosure, occupants } = this.setup;
    const animal = occupants.find((one) => one.id === this.animalId)!;
    const adult =
      animal.lengthMm === null ? this.species.adultSize.highMm : projectLength(this.species, animal.lengthMm, 600).high;
    const asked = spaceNeeded(because.rule, { mm: adult, measure: this.species.adultSize.measure }, occupants.length);
    if (asked.status !== 'known') return [];
    const { bought, homeMade, lack } = largerBoxes(this.world.parts, enclosure, this.species, asked.needed);
    if (bought.length === 0 && homeMade === null && lack.length > 0)
      return this.nothing(need, { why: 'space-lacks', shortages: lack });
    // A mat that stays behind with the old box is bought again with the new one.
    const matStays = this.active.some((one) => one.kind === 'heat-mat' && one.whenBoxReplaced === 'stays-behind');
    const heating = matStays ? this.fitHeat(need, because, 'warm-hide-floor').slice(0, 1) : [];
    const boxed = (act: ProposedAct, detail: string, parts: Part[], box: BoxToMake): Draft => ({
      act,
      detail,
      need,
      because,
      parts: [...parts, ...heating.flatMap((kit) => kit.parts)],
      changes: [
        { change: 'replace-box', enclosureId: this.box, ...box },
        ...heating.flatMap((kit) => kit.changes),
        ...this.answersInNewBox(),
        ...this.predictionsInNewBox(),
      ],
    });
    const offers = bought.map((part) => {
      const { lengthMm, depthMm, heightMm, material, top } = part.enclosure!;
      const act: ProposedAct = { act: 'box', part: part.name, lengthMm, depthMm, heightMm };
      return boxed(act, `box ${part.id}`, [part], { lengthMm, depthMm, heightMm, material, top });
    });
    if (homeMade === null) return offers;
    const own = boxed({ act: 'home-made-box', ...homeMade }, 'box home-made', [], homeMade);
    return [...offers, { ...own, unpriced: true }];
  }

  // The fitting sheet asks for these once the box stands; marking it fitted says they were seen to.
  answersInNewBox(): Change[] {
    return this.setup.answers
      .filter((one) => ANSWERED_ANEW.has(one.check) && one.answer === 'yes')
      .map((one): Change => ({ change: 'answer', enclosureId: this.box, check: one.check }));
  }

  // What is read in the old box and can be set again in the new one with what moves there is expected again, as an estimate.
  predictionsInNewBox(): Change[] {
    const kinds: ReadingKind[] = [
      'hot-spot-surface',
      'warm-hide-floor',
      'warm-air',
      'cool-end-air',
      'night-air',
      'humidity-day',
      'humidity-night',
      'uvi-basking',
      'uvi-lowest',
    ];
    return kinds.flatMap((reading): Change[] => {
      const known = knownOf(this.setup, reading, this.world.on, this.world.on);
      if (known.status === 'unknown' || known.from === 'expected') return [];
      const causes = this.active.filter((one) => influenceOf(one, this.active).includes(reading));
      const lost = causes.length > 0 && causes.every((one) => one.whenBoxReplaced === 'stays-behind');
      return lost ? [] : [{ change: 'predict', enclosureId: this.box, reading, value: known.value }];
    });
  }

  enrich(need: Need, because: Reason & { why: 'enrichment-missing' }): Draft[] {
    switch (because.kind) {
      case 'climb': {
        const part = this.part('branches');
        return part === undefined
          ? []
          : [this.kit(need, because, 'climb', pieces([part], [fitted(this.place, part, 'branches', {})]))];
      }
      case 'dig': {
        const part = this.part('deep-substrate');
        return part === undefined
          ? []
          : [this.kit(need, because, 'dig', pieces([part], [fitted(this.place, part, 'deep-substrate', {})]))];
      }
      case 'feeding':
        return [
          this.free(need, because, { act: 'scatter-food' }, 'feeding', [
            this.homeMade('feeding-toy', 'Food scattered and hidden'),
          ]),
        ];
      case 'novelty':
        if (this.species.neverPropose.includes('novelty'))
          return this.nothing(need, { why: 'species-forbids', what: 'novelty' });
        return [
          this.free(need, because, { act: 'swap-objects' }, 'novelty', [
            this.homeMade('novelty', 'Objects swapped now and then'),
          ]),
        ];
      case 'swim': {
        // Who lives in the water swims in the tank itself; a basin in it is no swimming water.
        const part = this.species.habit === 'aquatic' ? undefined : this.part('pool');
        return part === undefined
          ? []
          : [this.kit(need, because, 'pool', pieces([part], [fitted(this.place, part, 'pool', {})]))];
      }
      case 'choice':
        return [];
    }
  }

  water(need: Need, because: Reason, feature: string): Draft[] {
    if (feature === 'easy-exit')
      return [
        this.free(need, because, { act: 'do-check', check: 'easy-exit' }, feature, [
          { change: 'answer', enclosureId: this.box, check: 'easy-exit' },
        ]),
      ];
    const kinds: Record<string, FittingKind> = {
      'bathing-dish': 'water-dish',
      'swimming-water': 'pool',
      filter: 'filter',
      'dry-dock': 'dry-dock',
    };
    const kind = kinds[feature];
    const tankItself = kind === 'pool' && this.species.habit === 'aquatic';
    const part = kind === undefined || tankItself ? undefined : this.part(kind);
    return kind === undefined || part === undefined
      ? []
      : [this.kit(need, because, kind, pieces([part], [fitted(this.place, part, kind, {})]))];
  }

  outdoorRun(): Draft | null {
    const { outdoors } = this.targets;
    const part = this.world.parts.parts.find((one) => one.run !== undefined);
    // Hatchlings stay in: they dry out, chill and are eaten sooner.
    if (this.targets.stage === 'hatchling') return null;
    if (outdoors === null || part?.run === undefined || this.active.some((one) => one.outdoors !== null)) return null;
    const { fromMonth, toMonth } = outdoors;
    const fitting: NewFitting = {
      ...bareFitting('outdoor-run', part.name),
      lifeMonths: part.lifeMonths,
      outdoors: { ...part.run, fromMonth, toMonth, shade: true },
    };
    return {
      act: { act: 'outdoor-run', part: part.name, fromMonth, toMonth },
      detail: 'outdoors',
      need: 'uv',
      because: { why: 'outdoors-now' },
      parts: [part],
      changes: [{ change: 'fit', enclosureId: this.box, fitting }],
    };
  }

  get box(): string {
    return this.setup.enclosure.id;
  }

  lamps(): Fitting[] {
    return this.active.filter((one) => UV_LAMPS.has(one.kind));
  }

  uvBands(): UvZoneBand[] {
    return this.targets.uv.zones.map((one) => this.world.library.uvZones.find((band) => band.zone === one.zone)!);
  }

  isPale(): boolean {
    return this.setup.occupants.some((one) => one.paleMorph);
  }

  /** A UVI that is right in every zone a source puts the species in; null when the zones leave none. */
  wantedUvi(): number | null {
    const right = rightUvi(this.uvBands(), this.isPale());
    if (right === null) return null;
    return Math.round(Math.min(right.low * 1.2, (right.low + right.high) / 2) * 10) / 10;
  }

  heaterOf(reading: ReadingKind): Fitting | null {
    const kinds: Partial<Record<ReadingKind, FittingKind[]>> = {
      'hot-spot-surface': ['basking-lamp', 'radiant-panel'],
      'warm-hide-floor': ['heat-mat'],
      'warm-air': ['ceramic-heater', 'radiant-panel', 'basking-lamp'],
      'night-air': ['ceramic-heater', 'radiant-panel'],
      'cool-end-air': ['ceramic-heater', 'radiant-panel'],
      water: ['water-heater'],
    };
    return this.active.find((one) => kinds[reading]?.includes(one.kind)) ?? null;
  }

  part(what: string, also: (part: Part) => boolean = () => true): Part | undefined {
    return cheapest(this.world.parts, what, also);
  }

  homeMade(kind: FittingKind, name: string): Change {
    return { change: 'fit', enclosureId: this.box, fitting: bareFitting(kind, name) };
  }

  kit(
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

  free(need: Need, because: Reason, act: ProposedAct, detail: string, changes: Change[]): Draft {
    return { act, detail: `${act.act} ${detail}`, need, because, parts: [], changes, priceless: true };
  }

  proposal(draft: Draft, cited: Cited | null): Proposal {
    const { powerPrice, currency } = this.world;
    const kwh = kwhAMonth(draft.changes);
    const renewed = draft.parts.filter(
      (one) => one.lifeMonths !== null && (RENEWED.has(one.what as FittingKind) || draft.act.act === 'renew'),
    );
    const soonest = renewed.reduce<Part | null>((a, b) => (a === null || b.lifeMonths! < a.lifeMonths! ? b : a), null);
    const isFree = draft.priceless === true;
    const key = draft.detail.startsWith(ROOM) ? draft.detail : `${this.box}:${draft.detail}`;
    return {
      key,
      act: draft.act,
      enclosureId: this.box,
      animalIds: [this.animalId],
      need: draft.need,
      isFree,
      isUrgent: isFree && draft.because !== null && this.isUrgent(draft.because),
      priced: isFree || (this.place.priced && draft.unpriced !== true),
      powerKnown: kwh === 0 || powerPrice !== null,
      because: draft.because === null ? [] : [draft.because],
      lowers: [],
      isFromMemory: cited !== null && sourcesFromMemory(this.world.library).has(cited.source),
      upgrade: {
        proposalKey: key,
        priceLow:
          this.place.priced && draft.unpriced !== true ? sumMoney(draft.parts.map((one) => one.priceLow)) : noMoney,
        priceHigh:
          this.place.priced && draft.unpriced !== true ? sumMoney(draft.parts.map((one) => one.priceHigh)) : noMoney,
        monthlyCost: money(
          (typeof powerPrice === 'number' && kwh > 0 ? costAtRate(powerPrice, kwh, currency) : 0) - (draft.saves ?? 0),
        ),
        lifeMonths: soonest?.lifeMonths ?? null,
        renewalPrice: soonest !== null && this.place.priced ? soonest.priceHigh : null,
        leadMonths: Math.max(0, ...draft.parts.map((one) => one.leadMonths)),
        earliestMonth: null,
        pinnedMonth: null,
        arrivesMonth: null,
        requires: [],
        group: draft.group ?? null,
        proceeds: null,
        changes: draft.changes,
      },
    };
  }
}

/** The energy (kWh a month) that the things which changes fit will draw; a thing of unknown hours counts as always on. */
export function kwhAMonth(changes: readonly Change[]): number {
  const watts = changes.flatMap((one) => (one.change === 'fit' && one.fitting.watts !== null ? [one.fitting] : []));
  return watts.reduce(
    (sum, one) => sum + (one.watts! * (one.duty ?? 1) * (one.hoursPerDay ?? 24) * DAYS_A_MONTH) / 1000,
    0,
  );
}
