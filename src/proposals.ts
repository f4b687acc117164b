// Which remedies become proposals: what is asked for each reason of a score, what it costs and draws, whom it serves, and what it would make
// worse. What can be done about a shortfall stands in the files that end in -remedies.ts; points come from scoring the set-up with it fitted.

import { largerBox } from './box-remedies.ts';
import { DAYS_A_MONTH } from './calendar.ts';
import {
  adjustHeat,
  adjustHumidity,
  fitHeat,
  guardHeater,
  isBeyondCritical,
  regulateHeater,
} from './climate-remedies.ts';
import type { Answer, Collection, FittingKind } from './collection.ts';
import { aroundEnclosures } from './collection.ts';
import { ESTIMATE_WIDTH } from './evidence.ts';
import { addHide, addWater, enrich, lacksAlarm, seeToCheck, takeOut } from './furnishing-remedies.ts';
import { middleOf } from './heat-kits.ts';
import type { Reason } from './judging.ts';
import { coverTop, insulate } from './keeping-in-remedies.ts';
import { RENEWED } from './kits.ts';
import { costAtRate, money, noMoney, sumMoney } from './money.ts';
import type { Part } from './parts.ts';
import type { Draft, NoProposal, ProposedAct, Proposing, Remedy, Situation } from './remedies.ts';
import { isDraft, ROOM, situationOf } from './remedies.ts';
import type { AnimalScore } from './score.ts';
import { scoreAnimal } from './score.ts';
import { isLedIntoRest } from './signs.ts';
import type { Cited, Need } from './species.ts';
import { sourcesFromMemory } from './species.ts';
import type { Change, Upgrade } from './upgrades.ts';
import { applyUpgrades, enclosuresOf } from './upgrades.ts';
import { adjustUv, fitUv, outdoorRun, renewLamps, replaceUntold, setHours } from './uv-remedies.ts';

/** A need of some animals of an enclosure for which nothing is proposed, and why. */
export type Unanswered = { enclosureId: string; animalIds: string[]; need: Need; no: NoProposal };

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

/**
 * Proposals for every shortfall the score finds, urgent cooling first, then free actions, in the order of the points lost. Nothing is proposed that the
 * species rules out, that needs a second thing not in the kit, or whose target is unknown.
 */
export function proposeUpgrades(proposing: Proposing): Proposal[] {
  return surveyUpgrades(proposing).proposals;
}

/** What was found for each animal of one enclosure: its score and, in order, what would mend its shortfalls or why nothing does. */
export type EnclosureSurvey = { animalId: string; score: AnimalScore; found: (Proposal | Unanswered)[] }[];

/**
 * The proposals as `proposeUpgrades` gives them, and the needs that none answers, each with its reason. `surveyed` gives what
 * `surveyEnclosure` gives, perhaps from before: of what it is handed, all that is found there is made and nothing else.
 */
export function surveyUpgrades(
  proposing: Proposing,
  surveyed: (proposing: Proposing, enclosureId: string) => EnclosureSurvey = surveyEnclosure,
): { proposals: Proposal[]; unanswered: Unanswered[] } {
  const { collection } = proposing;
  const places = new Set(collection.animals.flatMap((one) => one.enclosureId ?? []));
  const lacking = collection.answers.filter(lacksAlarm);
  const surveys = [...places].flatMap((id) =>
    surveyed({ ...proposing, collection: boundTo(collection, id, lacking) }, id),
  );
  const byAnimal = new Map(surveys.map((one) => [one.animalId, one]));
  const scores = new Map(surveys.map((one) => [one.animalId, one.score]));
  const found = new Map<string, Proposal>();
  const unanswered = new Map<string, Unanswered>();
  for (const { id } of collection.animals) {
    for (const one of byAnimal.get(id)?.found ?? []) {
      if ('no' in one) {
        const key = JSON.stringify([one.enclosureId, one.need, one.no]);
        const same = unanswered.get(key) ?? { ...one, animalIds: [] };
        if (!same.animalIds.includes(id)) same.animalIds.push(id);
        unanswered.set(key, same);
        continue;
      }
      // What serves one enclosure was put together there.
      const same = found.get(one.key);
      if (same === undefined) found.set(one.key, servesTheRoom(one) ? { ...one, animalIds: [...one.animalIds] } : one);
      else if (servesTheRoom(one)) putTogether(same, one);
    }
  }
  for (const one of found.values()) if (servesTheRoom(one)) one.lowers = loweredBy(one, proposing, scores);
  const proposals = [...found.values()].sort(
    (a, b) => Number(b.isUrgent) - Number(a.isUrgent) || Number(b.isFree) - Number(a.isFree),
  );
  return { proposals, unanswered: [...unanswered.values()] };
}

/** What is found for one enclosure alone; what a proposal that serves a whole room makes worse is left for where all of it is known. */
export function surveyEnclosure(proposing: Proposing, enclosureId: string): EnclosureSurvey {
  const { collection, library, choices, on } = proposing;
  const survey = collection.animals
    .filter((one) => one.enclosureId === enclosureId)
    .map((animal): EnclosureSurvey[number] => {
      const score = scoreAnimal(animal, { collection, library, choices, on, knownOn: on })!;
      const at = situationOf(proposing, animal, enclosureId);
      const found = remediesFor(score, at).map(({ remedy, cited }) =>
        isDraft(remedy)
          ? proposalOf(at, remedy, cited)
          : { enclosureId, animalIds: [animal.id], need: remedy.need, no: remedy.no },
      );
      return { animalId: animal.id, score, found };
    });
  const scores = new Map(survey.map((one) => [one.animalId, one.score]));
  const whole = new Map<string, Proposal>();
  for (const one of survey.flatMap(({ found }) => found)) {
    if ('no' in one || servesTheRoom(one)) continue;
    // Of several that are the same the first stands for all.
    const same = whole.get(one.key);
    if (same === undefined) {
      one.lowers = loweredBy(one, proposing, scores);
      whole.set(one.key, one);
    } else putTogether(same, one);
  }
  return survey;
}

function putTogether(same: Proposal, other: Proposal): void {
  for (const id of other.animalIds) if (!same.animalIds.includes(id)) same.animalIds.push(id);
  same.isFromMemory &&= other.isFromMemory;
}

// All of a collection that one enclosure's proposals hang on: what is in it, and who else lacks what would serve the whole room.
function boundTo(collection: Collection, enclosureId: string, lacking: readonly Answer[]): Collection {
  const around = aroundEnclosures(collection, [enclosureId]);
  return { ...around, answers: [...around.answers.filter((one) => !lacksAlarm(one)), ...lacking] };
}

/** Whether a proposal serves every enclosure of a room, such as an alarm. */
export function servesTheRoom({ key }: Proposal): boolean {
  return key.startsWith(ROOM);
}

/** The upgrade that a proposal would become, to be fitted on paper. */
export function onPaper({ upgrade }: Proposal): Upgrade {
  return { ...upgrade, id: 'on paper', name: '', status: 'proposed', origin: 'proposed', note: '' };
}

// A fall of less than this many points is not worth a sentence.
const LEAST_FALL = 0.5;

function loweredBy(
  proposal: Proposal,
  { collection, library, choices, on }: Proposing,
  scores: ReadonlyMap<string, AnimalScore>,
): Lowered[] {
  const tried = onPaper(proposal);
  // Only who lives where something changes can be worse off for it, and scoring them takes nothing of other enclosures.
  const there = aroundEnclosures(collection, enclosuresOf(tried, collection));
  const after = applyUpgrades(there, [tried], on);
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

// Before a winter rest an animal fasts and is cooled: food to look for and more warmth would keep it awake, or send it to sleep full.
function keepsAwake(reason: Reason): boolean {
  switch (reason.why) {
    case 'enrichment-missing':
      return reason.kind === 'feeding';
    case 'temperature-outside':
      return reason.side === 'below';
    default:
      return reason.why === 'no-heat-fitted';
  }
}

function isLedInto({ animalId, targets, world: { collection, on } }: Situation): boolean {
  const seasons = collection.animals.find(({ id }) => id === animalId)?.seasons ?? [];
  return isLedIntoRest(seasons, targets.seasonsKnown, on);
}

type CitedRemedy = { remedy: Remedy; cited: Cited | null };

// What can be done about the shortfalls of one animal, with where the target stands that each is held against.
function remediesFor(score: AnimalScore, at: Situation): CitedRemedy[] {
  const outdoors = outdoorRun(at);
  const remedies = score.needs.flatMap((need) =>
    need.reasons.flatMap(({ reason, cited, lost }): CitedRemedy[] =>
      promisesMore(at, reason, lost) ? remediesOf(at, need.need, reason).map((remedy) => ({ remedy, cited })) : [],
    ),
  );
  const warmer =
    at.targets.season === 'active' && !isLedInto(at) ? [...insulate(at), ...coverTop(at, 'heat', null)] : [];
  return [
    ...(outdoors === null ? [] : [{ remedy: outdoors, cited: at.targets.outdoors }]),
    ...remedies,
    ...warmer.map((remedy) => ({ remedy, cited: null })),
  ];
}

// What an adjustment promises counts as an estimate until it is measured. A measured value that loses less than an estimate, because it
// is outside its band by hardly more than the error of the instrument, is worth more as it stands.
function promisesMore(at: Situation, reason: Reason, lost: number): boolean {
  return !ADJUSTED.has(reason.why) || lost > ESTIMATE_WIDTH * (1 - at.world.choices.alpha);
}

function remediesOf(at: Situation, need: Need, reason: Reason): Remedy[] {
  if (isLedInto(at) && keepsAwake(reason)) return [];
  if (at.targets.season !== 'active' && IN_ACTIVE_SEASON.has(need)) return [];
  switch (reason.why) {
    case 'heater-unregulated':
    case 'thermostat-unknown':
      return regulateHeater(at, need, reason, reason.fitting);
    case 'heater-unguarded':
      return guardHeater(at, need, reason, reason.fitting);
    case 'rock-heater':
      return takeOut(at, need, reason, reason.fitting);
    case 'check-failed':
    case 'check-unknown':
      return seeToCheck(at, need, reason, reason.check);
    case 'temperature-outside':
      return adjustHeat(at, need, reason);
    case 'no-heat-fitted':
      return fitHeat(at, need, reason, reason.kind);
    case 'no-uv-fitted':
      return fitUv(at, need, reason);
    case 'uv-lamp-past-life':
      return renewLamps(at, need, reason);
    case 'uv-below':
    case 'uv-above':
      return adjustUv(at, need, reason);
    case 'uv-hours':
      return setHours(at, need, reason, middleOf(reason));
    case 'unknown-reading':
      return reason.kind === 'uvi-basking' ? replaceUntold(at, need, reason) : [];
    case 'uv-between-unknown':
      return replaceUntold(at, need, reason);
    case 'uv-no-retreat':
      return addHide(at, need, reason, 'cool');
    case 'hide-missing':
      return addHide(at, need, reason, reason.zone);
    case 'no-moist-retreat':
      return addHide(at, need, reason, 'moist');
    case 'humidity-outside':
      return adjustHumidity(at, need, reason);
    case 'space-short':
      return largerBox(at, need, reason);
    case 'enrichment-missing':
      return enrich(at, need, reason);
    case 'water-feature-missing':
      return addWater(at, need, reason, reason.feature);
    default:
      // What is only unknown is asked, and nothing is set or bought for it.
      return [];
  }
}

// What a draft comes to: what it costs, what it draws and saves, and when it has to be bought again.
function proposalOf(at: Situation, draft: Draft, cited: Cited | null): Proposal {
  const { powerPrice, currency } = at.world;
  const kwh = kwhAMonth(draft.changes);
  const renewed = draft.parts.filter(
    (one) => one.lifeMonths !== null && (RENEWED.has(one.what as FittingKind) || draft.act.act === 'renew'),
  );
  const soonest = renewed.reduce<Part | null>((a, b) => (a === null || b.lifeMonths! < a.lifeMonths! ? b : a), null);
  const isFree = draft.priceless === true;
  const key = draft.detail.startsWith(ROOM) ? draft.detail : `${at.box}:${draft.detail}`;
  return {
    key,
    act: draft.act,
    enclosureId: at.box,
    animalIds: [at.animalId],
    need: draft.need,
    isFree,
    isUrgent: isFree && draft.because !== null && isBeyondCritical(at, draft.because),
    priced: isFree || (at.place.priced && draft.unpriced !== true),
    powerKnown: kwh === 0 || powerPrice !== null,
    because: draft.because === null ? [] : [draft.because],
    lowers: [],
    isFromMemory: cited !== null && sourcesFromMemory(at.world.library).has(cited.source),
    upgrade: {
      proposalKey: key,
      priceLow: at.place.priced && draft.unpriced !== true ? sumMoney(draft.parts.map((one) => one.priceLow)) : noMoney,
      priceHigh:
        at.place.priced && draft.unpriced !== true ? sumMoney(draft.parts.map((one) => one.priceHigh)) : noMoney,
      monthlyCost: money(
        (typeof powerPrice === 'number' && kwh > 0 ? costAtRate(powerPrice, kwh, currency) : 0) - (draft.saves ?? 0),
      ),
      lifeMonths: soonest?.lifeMonths ?? null,
      renewalPrice: soonest !== null && at.place.priced ? soonest.priceHigh : null,
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

/** The energy (kWh a month) that the things which changes fit will draw; a thing of unknown hours counts as always on. */
export function kwhAMonth(changes: readonly Change[]): number {
  const watts = changes.flatMap((one) => (one.change === 'fit' && one.fitting.watts !== null ? [one.fitting] : []));
  return watts.reduce(
    (sum, one) => sum + (one.watts! * (one.duty ?? 1) * (one.hoursPerDay ?? 24) * DAYS_A_MONTH) / 1000,
    0,
  );
}
