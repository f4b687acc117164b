// Which generic upgrades could mend the shortfalls of a set-up: free actions first, then whole kits that can work together. Knows what
// must never be proposed; it gives no points, for those come from scoring the set-up with the kit fitted.

import type { PlainDate } from './calendar.ts';
import { DAYS_A_MONTH, monthOf } from './calendar.ts';
import type {
  Check,
  Collection,
  Fitting,
  FittingKind,
  LampOutput,
  Material,
  ReadingKind,
  Setup,
  Top,
} from './collection.ts';
import { HEATERS, influenceOf, isFitted, isGuarded, setupOf, UV_LAMPS } from './collection.ts';
import { ESTIMATE_WIDTH, knownOf } from './evidence.ts';
import { distanceForUvi, GUARD_SHARE, meshShareOf, readUnder, uviOnAxis } from './light.ts';
import { classesThatFit } from './lit-places.ts';
import type { Currency, Money } from './money.ts';
import { costAtRate, noMoney, sumMoney } from './money.ts';
import type { Reason } from './needs.ts';
import { rightUvi, uvCeiling } from './needs.ts';
import type { AnimalScore, ValueChoices } from './score.ts';
import { scoreAnimal } from './score.ts';
import type { BoxMeasures } from './space.ts';
import { ASSUMED_WALL_MM, extentOf, leastRatio, spaceNeeded, whatFits } from './space.ts';
import type {
  CareLibrary,
  HideZone,
  Need,
  Species,
  Standing,
  Targets,
  TemperatureKind,
  UvZoneBand,
} from './species.ts';
import { projectLength, speciesOf, targetsFor } from './species.ts';
import type { Change, NewFitting, Upgrade } from './upgrades.ts';
import { ANSWERED_ANEW } from './upgrades.ts';

/** What every part of the catalogue has: a generic name, a range of prices in the catalogue's currency, and how long it lasts. */
export type Part = {
  id: string;
  name: string;
  what: string;
  priceLow: Money;
  priceHigh: Money;
  lifeMonths: number | null;
  watts: number | null;
  hoursPerDay: number | null;
  leadMonths: number;
  standing: Standing;
  lamp?: LampOutput | null;
  controls?: { by: 'switching' | 'pulse' | 'dimming'; maxWatts: number };
  enclosure?: { lengthMm: number; depthMm: number; heightMm: number; material: Material; top: Top };
  run?: { lengthMm: number; depthMm: number };
};

/** Generic parts with one currency for their prices. */
export type PartsList = { currency: string; parts: readonly Part[] };

/** Ways to cool a box of an animal that heat harms, none of which needs a purchase. */
export type CoolingWay = 'shade' | 'fan' | 'move';

/** What a proposal is, in figures a sentence can be made of. */
export type ProposedAct =
  | {
      act: 'kit';
      parts: { name: string; what: string }[];
      place: HideZone | null;
      distanceMm: number | null;
      uvi: number | null;
    }
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
  upgrade: Omit<Upgrade, 'id' | 'name' | 'status' | 'origin' | 'note'>;
};

/** What proposing takes. `powerPrice` in major units a kWh: null unknown; 'not-ours' when the sum does not pay for power. */
export type Proposing = {
  collection: Collection;
  library: CareLibrary;
  choices: ValueChoices;
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
  const { collection, library, choices, on } = proposing;
  const found = new Map<string, Proposal>();
  for (const animal of collection.animals) {
    if (animal.enclosureId === null) continue;
    const score = scoreAnimal(animal, { collection, library, choices, on, knownOn: on })!;
    const setup = setupOf(collection, animal.enclosureId);
    const species = speciesOf(library, animal);
    const targets = targetsFor(species, animal, monthOf(on));
    const proposer = new Proposer(proposing, setup, species, targets, animal.id);
    for (const proposal of proposer.answer(score)) {
      const same = found.get(proposal.key);
      if (same === undefined) found.set(proposal.key, proposal);
      else if (!same.animalIds.includes(animal.id)) same.animalIds.push(animal.id);
    }
  }
  return [...found.values()].sort(
    (a, b) => Number(b.isUrgent) - Number(a.isUrgent) || Number(b.isFree) - Number(a.isFree),
  );
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
  because: Reason;
  changes: Change[];
  parts: Part[];
  priceless?: true;
  /** At most one draft of a group makes sense. */
  group?: string;
};

// Begins the key of a proposal that serves every enclosure in the room.
const ROOM = 'room:';

const middle = (low: number, high: number) => Math.round((low + high) / 2);

// One animal in its enclosure: turns each reason of its score into drafts, and drafts into proposals with prices.
class Proposer {
  readonly world: Proposing;
  readonly setup: Setup;
  readonly species: Species;
  readonly targets: Targets;
  readonly animalId: string;
  readonly active: Fitting[];

  constructor(world: Proposing, setup: Setup, species: Species, targets: Targets, animalId: string) {
    this.world = world;
    this.setup = setup;
    this.species = species;
    this.targets = targets;
    this.animalId = animalId;
    this.active = setup.fittings.filter((one) => isFitted(one, world.on));
  }

  answer(score: AnimalScore): Proposal[] {
    const outdoors = this.outdoorRun();
    const drafts = score.needs.flatMap((need) =>
      need.reasons.flatMap(({ reason, lost }) =>
        this.promisesMore(reason, lost) ? this.draftsFor(need.need, reason) : [],
      ),
    );
    return [...(outdoors === null ? [] : [outdoors]), ...drafts].map((draft) => this.proposal(draft));
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
        return this.setHours(need, reason, middle(reason.low, reason.high));
      case 'uv-hours-unknown':
        return this.setHours(need, reason, middle(this.targets.uv.hours.low, this.targets.uv.hours.high));
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
    const by =
      heater.kind === 'ceramic-heater'
        ? 'pulse'
        : heater.kind === 'heat-mat' || heater.kind === 'water-heater'
          ? 'switching'
          : 'dimming';
    const part = this.world.parts.parts.find(
      (one) => one.controls?.by === by && one.controls.maxWatts >= (heater.watts ?? 0),
    );
    if (part === undefined) return [];
    const fitting = this.fitted(part, 'thermostat', { regulates: heater.id, expects: this.expectedOf(heater.kind) });
    return [
      this.kit(
        need,
        because,
        heater.id,
        [part],
        [fitting, { change: 'answer', enclosureId: this.box, check: 'probe-in-place' }],
      ),
    ];
  }

  guard(need: Need, because: Reason, name: string): Draft[] {
    const heater = this.active.find((one) => one.name === name && HEATERS.has(one.kind));
    const part = this.part('guard');
    if (heater === undefined || part === undefined) return [];
    return [this.kit(need, because, heater.id, [part], [this.fitted(part, 'guard', { guards: heater.id })])];
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
      return part === undefined ? [] : [this.kit(need, because, check, [part], [answer])];
    return [this.free(need, because, { act: 'do-check', check }, check, [answer])];
  }

  // One alarm serves the room, so it is proposed once and counts in every enclosure that lacks it.
  alarmForTheRoom(need: Need, because: Reason, part: Part): Draft {
    const lacking = this.world.collection.answers.filter((one) => one.check === 'smoke-alarm' && one.answer === 'no');
    const changes = lacking.map(
      (one): Change => ({ change: 'answer', enclosureId: one.enclosureId, check: 'smoke-alarm' }),
    );
    return { ...this.kit(need, because, 'smoke-alarm', [part], changes), detail: `${ROOM}smoke-alarm` };
  }

  adjustHeat(need: Need, because: Reason & { why: 'temperature-outside' }): Draft[] {
    if (because.kind === 'body') return [];
    const reading: ReadingKind = because.kind;
    const value = middle(because.low, because.high);
    const heater = this.heaterOf(reading);
    if (heater === null) {
      return because.side === 'below' ? this.fitHeat(need, because, because.kind) : this.coolDown(need, because);
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
    if (!this.isAmphibian || !this.isUrgent(because) || because.kind === 'body') return [];
    const { kind, high: value } = because;
    return (['shade', 'fan', 'move'] as const).map((way) => ({
      ...this.free(need, because, { act: 'cool-by', way, kind, value }, `${way} ${kind}`, [
        { change: 'predict', enclosureId: this.box, reading: kind as ReadingKind, value },
      ]),
      group: `cooling of ${this.box} ${kind}`,
    }));
  }

  isUrgent(because: Reason): boolean {
    return (
      because.why === 'temperature-outside' &&
      because.side === 'above' &&
      this.targets.temperatures.some((one) => one.kind === because.kind && one.criticalAbove)
    );
  }

  get isAmphibian(): boolean {
    return this.species.group === 'frog' || this.species.group === 'salamander';
  }

  // Whether some place is as warm as it may be: another heater would carry it beyond.
  isWarmEnough(): boolean {
    return this.targets.temperatures.some((one) => {
      if (one.kind === 'body') return false;
      const known = knownOf(this.setup, one.kind, this.world.on, this.world.on);
      return known.status === 'known' && known.value >= one.high;
    });
  }

  fitHeat(need: Need, because: Reason, kind: TemperatureKind): Draft[] {
    if (this.species.neverPropose.includes('any-heater') || kind === 'body') return [];
    const target = this.targets.temperatures.find((one) => one.kind === kind);
    // A heat-sensitive amphibian is never given a heater without a band it must not leave.
    if (target === undefined || (this.species.group === 'frog' && because.why !== 'temperature-outside')) return [];
    if (this.isAmphibian && this.isWarmEnough()) return [];
    const value = middle(target.low, target.high);
    const expects = [{ reading: kind as ReadingKind, value }];
    if (kind === 'warm-hide-floor') {
      const mat = this.part('heat-mat', (one) => this.setup.enclosure.lengthMm >= 900 === (one.watts ?? 0) > 20);
      const thermostat = this.thermostat('switching');
      if (mat === undefined || thermostat === undefined) return [];
      return [
        this.kit(
          need,
          because,
          kind,
          [mat, thermostat],
          [
            this.fitted(mat, 'heat-mat', { key: 'heater', whenBoxReplaced: 'stays-behind' }),
            this.fitted(thermostat, 'thermostat', { regulates: 'heater', expects }),
            { change: 'answer', enclosureId: this.box, check: 'probe-in-place' },
          ],
        ),
      ];
    }
    if (kind === 'water') {
      const heater = this.part('water-heater');
      if (heater === undefined) return [];
      return [this.kit(need, because, kind, [heater], [this.fitted(heater, 'water-heater', { expects })])];
    }
    if (this.species.neverPropose.includes('overhead-heater')) return [];
    const light = kind === 'hot-spot-surface';
    const heater = light
      ? this.part('basking-lamp', (one) => one.watts === (this.setup.enclosure.heightMm > 550 ? 75 : 50))
      : this.part('ceramic-heater', (one) => one.watts === (this.setup.enclosure.lengthMm > 1000 ? 100 : 60));
    const thermostat = this.thermostat(light ? 'dimming' : 'pulse');
    const holder = this.part('fixture', (one) => one.lamp === undefined && one.id.includes('holder'));
    const guard = this.part('guard');
    if (heater === undefined || thermostat === undefined || holder === undefined || guard === undefined) return [];
    return [
      this.kit(
        need,
        because,
        // One heater overhead warms the air by day and by night, so it is proposed once.
        light ? kind : 'overhead',
        [heater, holder, guard, thermostat],
        [
          this.fitted(heater, light ? 'basking-lamp' : 'ceramic-heater', { key: 'heater' }),
          this.fitted(guard, 'guard', { guards: 'heater' }),
          this.fitted(thermostat, 'thermostat', {
            regulates: 'heater',
            expects: light || kind === 'cool-end-air' ? expects : this.expectedOf('ceramic-heater'),
          }),
          { change: 'answer', enclosureId: this.box, check: 'probe-in-place' },
        ],
      ),
    ];
  }

  fitUv(need: Need, because: Reason): Draft[] {
    const wanted = this.wantedUvi();
    if (wanted === null) return [];
    const { top } = this.setup.enclosure;
    // Over mesh the lamp shines through it; a closed top has it inside, an open one lets it hang free.
    const share = top === 'mesh' ? 0.8 : 1;
    const candidates = this.world.parts.parts.flatMap((part) => {
      if (part.what !== 'uv-tube' || part.lamp == null || part.lamp.litLengthMm === null) return [];
      const hung = this.hangingOf(part.lamp, share, wanted);
      return hung === null ? [] : [{ part, ...hung }];
    });
    const best = candidates.sort((a, b) => a.part.priceHigh - b.part.priceHigh || b.distance - a.distance)[0];
    if (best === undefined) return [];
    const fixture = this.part('fixture', (one) => one.name.includes(`${best.part.watts} W`));
    const timer = this.active.some((one) => one.kind === 'timer' && one.regulates === null)
      ? undefined
      : this.part('timer');
    if (fixture === undefined) return [];
    const hours = middle(this.targets.uv.hours.low, this.targets.uv.hours.high);
    const tube = this.fitted(best.part, 'uv-tube', {
      key: 'tube',
      distanceMm: best.distance,
      meshShare: share,
      hoursPerDay: hours,
    });
    // A lamp without a dark place to leave it for would do harm, so the first hide comes with it.
    const dark = this.active.some((one) => one.kind === 'hide' || one.kind === 'moist-hide')
      ? undefined
      : this.part('hide');
    const kit = this.kit(
      need,
      because,
      'uv',
      [best.part, fixture, ...[timer, dark].filter((one) => one !== undefined)],
      [
        ...this.lamps().map((one): Change => ({ change: 'retire', fittingId: one.id })),
        tube,
        ...(timer === undefined ? [] : [this.fitted(timer, 'timer', {})]),
        ...(dark === undefined ? [] : [this.fitted(dark, 'hide', { place: 'cool' })]),
      ],
    );
    return [
      {
        ...kit,
        act: {
          act: 'kit',
          parts: kit.parts.map(({ name, what }) => ({ name, what })),
          place: null,
          distanceMm: best.distance,
          uvi: best.uvi,
        },
      },
    ];
  }

  /**
   * How far above a basking place a new tube should hang here, to the centimetre, and the UVI it gives there; null where no height of the
   * place makes it right. Where the keeper said how high the place is, that is its height.
   */
  hangingOf(lamp: LampOutput, meshShare: number, wanted: number): { distance: number; uvi: number } | null {
    const { enclosure } = this.setup;
    // A fixture may stand out over a mesh, but light beyond the walls is lost, so what is lit is no longer than the box.
    if ((lamp.litLengthMm ?? 0) > Math.max(enclosure.lengthMm, enclosure.depthMm)) return null;
    const best = distanceForUvi(lamp, meshShare, wanted);
    const range = rightUvi(this.uvBands(), this.isPale());
    if (range === null) return null;
    const stands = this.active.find((one) => one.kind === 'basking-place' && one.placed !== null)?.placed;
    // The place lies at least 10 cm up, and leaves the least distance below the lamp.
    const steps = Math.max(0, Math.floor((enclosure.heightMm - 250) / 50) + 1);
    const grounds =
      stands == null
        ? Array.from({ length: steps }, (_, step) => 100 + 50 * step)
        : [stands.zMm + (stands.heightMm ?? 0)];
    let found: { distance: number; uvi: number } | null = null;
    for (const ground of grounds) {
      const [fit] = classesThatFit(enclosure, ground, [{ id: '', lamp }], range, { meshShare, guarded: false });
      if (fit?.status !== 'fits') continue;
      // Near enough to be right at the end of its life too, where that is not too much for a new one.
      const far = Math.min(
        fit.farthestAtEndOfLifeMm ?? fit.farthestMm,
        stands == null ? enclosure.heightMm - 100 : 3000,
      );
      const distance = Math.round(Math.min(far, Math.max(fit.nearestMm, best ?? far)) / 10) * 10;
      if (distance < fit.nearestMm || distance > fit.farthestMm) continue;
      const uvi = uviOnAxis(lamp, distance) * meshShareOf(lamp, meshShare);
      if (found === null || Math.abs(uvi - wanted) < Math.abs(found.uvi - wanted)) found = { distance, uvi };
    }
    return found === null ? null : { ...found, uvi: Math.round(found.uvi * 10) / 10 };
  }

  renewLamps(need: Need, because: Reason): Draft[] {
    // A lamp that gave too much when it was young would do so again; it has to hang elsewhere or be another one.
    const known = knownOf(this.setup, 'uvi-basking', this.world.on, this.world.on);
    if (known.status === 'known' && known.value > uvCeiling(this.uvBands(), this.isPale())) return [];
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
    const guarded = output === lamp.lamp && isGuarded(lamp, this.active);
    const distance = distanceForUvi(output, lamp.meshShare, guarded ? wanted / GUARD_SHARE : wanted);
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
          this.kit(need, because, 'moist', [box], [this.fitted(box, 'moist-hide', { place: 'moist' })], 'moist'),
        );
      return drafts;
    }
    if (zone === 'under-water' || zone === 'high') {
      const plants = zone === 'high' ? this.part('hide', (one) => one.id.includes('cork')) : this.part('plants');
      if (plants === undefined) return [];
      const kind = zone === 'high' ? 'hide' : 'plants';
      return [this.kit(need, because, zone, [plants], [this.fitted(plants, kind, { place: zone })], zone)];
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
      : [this.kit(need, because, zone, [hide], [this.fitted(hide, 'hide', { place: zone })], zone)];
  }

  adjustHumidity(need: Need, because: Reason & { why: 'humidity-outside' }): Draft[] {
    const reading: ReadingKind = because.time === 'day' ? 'humidity-day' : 'humidity-night';
    const value = middle(because.low, because.high);
    const changes: Change[] = [{ change: 'predict', enclosureId: this.box, reading, value }];
    const act: ProposedAct = because.side === 'below' ? { act: 'mist-by-hand', value } : { act: 'air-more', value };
    return [this.free(need, because, act, reading, changes)];
  }

  largerBox(need: Need, because: Reason & { why: 'space-short' }): Draft[] {
    const { enclosure, occupants } = this.setup;
    const animal = occupants.find((one) => one.id === this.animalId)!;
    const adult =
      animal.lengthMm === null ? this.species.adultSize.highMm : projectLength(this.species, animal.lengthMm, 600).high;
    const asked = spaceNeeded(because.rule, { mm: adult, measure: this.species.adultSize.measure }, occupants.length);
    if (asked.status !== 'known') return [];
    const climbs = this.species.habit === 'climbing';
    const ratioOf = (box: BoxMeasures) => leastRatio(asked.needed, extentOf(box), climbs).ratio;
    const now = ratioOf(enclosure);
    // Room beyond the target still adds a little, but nobody is asked to buy a second box for it.
    if (now >= 1) return [];
    const mustAir = this.species.neverPropose.includes('close-top');
    const swims = this.species.habit === 'aquatic';
    const holdsWater = swims || (this.isAmphibian && this.species.habit === 'semi-aquatic');
    const openTopped = swims || this.species.group === 'tortoise' || this.species.group === 'turtle';
    const suits = (part: Part) => {
      const box = part.enclosure;
      if (box === undefined || (mustAir && box.top === 'closed')) return false;
      // Mesh walls hold neither warmth nor damp, and only glass holds water; an open top is for those that cannot climb out, and tanks.
      const sound =
        (box.material !== 'mesh' || (mustAir && !this.species.humidity.lifeCritical)) &&
        (box.material === 'glass' || !holdsWater) &&
        (box.top === 'open') === openTopped;
      return sound && box.heightMm >= Math.min(400, enclosure.heightMm);
    };
    const { mostLengthMm, mostDepthMm, mostHeightMm, wallMm } = enclosure.build;
    const fit = whatFits(
      asked.needed,
      { lengthMm: mostLengthMm, depthMm: mostDepthMm, heightMm: mostHeightMm },
      this.world.parts.parts.flatMap((part) => (suits(part) ? [part.enclosure!] : [])),
      { heightCounts: climbs, wallMm: wallMm ?? ASSUMED_WALL_MM },
    );
    const fitting = new Set(fit.boxes.map((one) => one.box));
    const parts = this.world.parts.parts
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
    // A mat that stays behind with the old box is bought again with the new one.
    const matStays = this.active.some((one) => one.kind === 'heat-mat' && one.whenBoxReplaced === 'stays-behind');
    const heating = matStays ? this.fitHeat(need, because, 'warm-hide-floor').slice(0, 1) : [];
    return [enough, better].flatMap((one): Draft[] => {
      if (one === undefined) return [];
      const { lengthMm, depthMm, heightMm, material, top } = one.part.enclosure!;
      return [
        {
          act: { act: 'box', part: one.part.name, lengthMm, depthMm, heightMm },
          detail: `box ${one.part.id}`,
          need,
          because,
          parts: [one.part, ...heating.flatMap((kit) => kit.parts)],
          changes: [
            { change: 'replace-box', enclosureId: this.box, lengthMm, depthMm, heightMm, material, top },
            ...heating.flatMap((kit) => kit.changes),
            ...this.answersInNewBox(),
            ...this.predictionsInNewBox(),
          ],
        },
      ];
    });
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
          : [this.kit(need, because, 'climb', [part], [this.fitted(part, 'branches', {})])];
      }
      case 'dig': {
        const part = this.part('deep-substrate');
        return part === undefined
          ? []
          : [this.kit(need, because, 'dig', [part], [this.fitted(part, 'deep-substrate', {})])];
      }
      case 'feeding':
        return [
          this.free(need, because, { act: 'scatter-food' }, 'feeding', [
            this.homeMade('feeding-toy', 'Food scattered and hidden'),
          ]),
        ];
      case 'novelty':
        if (this.species.neverPropose.includes('novelty')) return [];
        return [
          this.free(need, because, { act: 'swap-objects' }, 'novelty', [
            this.homeMade('novelty', 'Objects swapped now and then'),
          ]),
        ];
      case 'swim': {
        // Who lives in the water swims in the tank itself; a basin in it is no swimming water.
        const part = this.species.habit === 'aquatic' ? undefined : this.part('pool');
        return part === undefined ? [] : [this.kit(need, because, 'pool', [part], [this.fitted(part, 'pool', {})])];
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
      : [this.kit(need, because, kind, [part], [this.fitted(part, kind, {})])];
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

  expectedOf(kind: FittingKind): { reading: ReadingKind; value: number }[] {
    const readings: Partial<Record<FittingKind, TemperatureKind[]>> = {
      'heat-mat': ['warm-hide-floor'],
      'ceramic-heater': ['warm-air', 'night-air'],
      'radiant-panel': ['hot-spot-surface', 'warm-air', 'night-air'],
      'water-heater': ['water'],
    };
    return (readings[kind] ?? []).flatMap((reading) => {
      const target = this.targets.temperatures.find((one) => one.kind === reading);
      return target === undefined ? [] : [{ reading: reading as ReadingKind, value: middle(target.low, target.high) }];
    });
  }

  part(what: string, also: (part: Part) => boolean = () => true): Part | undefined {
    const fitting = this.world.parts.parts.filter((one) => one.what === what && also(one));
    return fitting.sort((a, b) => a.priceHigh - b.priceHigh)[0];
  }

  thermostat(by: 'switching' | 'pulse' | 'dimming'): Part | undefined {
    return this.world.parts.parts.find((one) => one.controls?.by === by);
  }

  fitted(part: Part, kind: FittingKind, more: Partial<NewFitting>): Change {
    const fitting: NewFitting = {
      ...bareFitting(kind, part.name),
      lifeMonths: part.lifeMonths,
      renewalPrice: this.priced && part.lifeMonths !== null && RENEWED.has(kind) ? part.priceHigh : null,
      watts: part.watts,
      hoursPerDay: part.watts === null ? null : part.hoursPerDay,
      duty: part.watts === null || usualDuty(kind) === 1 ? null : usualDuty(kind),
      lamp: part.lamp ?? null,
      ...more,
    };
    return { change: 'fit', enclosureId: this.box, fitting };
  }

  homeMade(kind: FittingKind, name: string): Change {
    return { change: 'fit', enclosureId: this.box, fitting: bareFitting(kind, name) };
  }

  kit(
    need: Need,
    because: Reason,
    detail: string,
    parts: Part[],
    changes: Change[],
    place: HideZone | null = null,
  ): Draft {
    return {
      act: { act: 'kit', parts: parts.map(({ name, what }) => ({ name, what })), place, distanceMm: null, uvi: null },
      detail: `kit ${detail}`,
      need,
      because,
      parts,
      changes,
    };
  }

  free(need: Need, because: Reason, act: ProposedAct, detail: string, changes: Change[]): Draft {
    return { act, detail: `${act.act} ${detail}`, need, because, parts: [], changes, priceless: true };
  }

  get priced(): boolean {
    return this.world.parts.currency === this.world.currency.code;
  }

  proposal(draft: Draft): Proposal {
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
      isUrgent: isFree && this.isUrgent(draft.because),
      priced: isFree || this.priced,
      powerKnown: kwh === 0 || powerPrice !== null,
      because: [draft.because],
      upgrade: {
        proposalKey: key,
        priceLow: this.priced ? sumMoney(draft.parts.map((one) => one.priceLow)) : noMoney,
        priceHigh: this.priced ? sumMoney(draft.parts.map((one) => one.priceHigh)) : noMoney,
        monthlyCost: typeof powerPrice === 'number' && kwh > 0 ? costAtRate(powerPrice, kwh, currency) : noMoney,
        lifeMonths: soonest?.lifeMonths ?? null,
        renewalPrice: soonest !== null && this.priced ? soonest.priceHigh : null,
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

/** What is renewed at the end of its life as a matter of course; a hide or a box is replaced when it breaks. */
const RENEWED: ReadonlySet<FittingKind> = new Set(['uv-tube', 'uv-compact', 'basking-lamp']);

// Share of the time a regulated heater is on, for pricing its power before it was ever measured (common practice, no source).
function usualDuty(kind: FittingKind): number {
  return HEATERS.has(kind) && kind !== 'basking-lamp' ? 0.5 : 1;
}

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
