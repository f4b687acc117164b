// What a change of the things in an enclosure would do to its light and to the scores of who lives there, set beside what is; and at which
// field of a form of a place it belongs when it cannot be.

import type { Animal, Collection } from '../../src/collection.ts';
import { setupOf } from '../../src/collection.ts';
import { lightIn } from '../../src/evidence.ts';
import type { Reason } from '../../src/judging.ts';
import { placesIn } from '../../src/lit-places.ts';
import type { LightProblem } from '../../src/placed-things.ts';
import { bandOfAnimal, type Scoring, scoreAnimal } from '../../src/score.ts';
import type { UnitSystem } from '../../src/units.ts';
import type { FormError } from '../forms.ts';
import { type LightSpeech, lackSentence, previewSentences, problemSentence } from '../light-words.ts';
import { reasonSentence, scoreText } from '../score-words.ts';
import { placeTexts } from './light.view.ts';

/** What would change, before and after, as views/partials/light-preview.hbs lays it out. */
export type LightPreview = {
  places: { name: string; before: string; after: string; band: string }[];
  scores: { name: string; before: string; after: string; uvBefore: string; uvAfter: string }[];
  /** What of its need of UV is not known, now and then, so that like is compared with like. */
  unknowns: string[];
  /** Why no light can be told, as things would stand. */
  lacks: string[];
};

// Reasons for which a figure is a guess and no finding.
const UNKNOWN: ReadonlySet<Reason['why']> = new Set(['unknown-reading', 'uv-between-unknown', 'uv-hours-unknown']);

/** Light and scores of an enclosure as they are in the scoring's collection, and as they would be in another on the same day. */
export function lightPreview(given: {
  enclosureId: string;
  scoring: Scoring;
  after: Collection;
  system: UnitSystem;
  locale: string;
}): LightPreview {
  const { enclosureId, scoring, after: changedCollection, system, locale } = given;
  const [is, would] = [setupOf(scoring.collection, enclosureId), setupOf(changedCollection, enclosureId)];
  const [before, after] = [lightIn(is, scoring.on), lightIn(would, scoring.on)];
  const speech: LightSpeech = { nameOf: (id) => would.fittings.find((one) => one.id === id)?.name ?? '', system };
  const told = before.status === 'lit' ? placesIn(before) : [];
  const scored = (animal: Animal, collection: Collection) => {
    const score = scoreAnimal(animal, { ...scoring, collection })!;
    const uv = score.needs.find((one) => one.need === 'uv');
    return {
      whole: scoreText(bandOfAnimal(score), score.score, score.low, score.high),
      uv: uv === undefined ? 'not judged' : pointsText(uv.value, uv.low, uv.high),
      value: uv?.value ?? null,
      unknown: (uv?.reasons ?? []).flatMap(({ reason }) =>
        UNKNOWN.has(reason.why) ? [reasonSentence(reason, { unitSystem: system, locale })] : [],
      ),
    };
  };
  const compared = is.occupants.map((animal) => ({
    name: animal.name,
    old: scored(animal, scoring.collection),
    later: scored(animal, changedCollection),
  }));
  return {
    places:
      after.status !== 'lit'
        ? []
        : placesIn(after).map((one) => {
            const old = told.find((each) => each.fittingId === one.fittingId);
            const { uvi, band } = placeTexts(one, system);
            return {
              name: speech.nameOf(one.fittingId),
              before: old === undefined ? 'not known' : placeTexts(old, system).uvi,
              after: uvi,
              band,
            };
          }),
    scores: compared.map(({ name, old, later }) => ({
      name,
      before: old.whole,
      after: later.whole,
      uvBefore: old.uv,
      uvAfter: later.uv,
    })),
    unknowns: compared.flatMap(({ name, old, later }) => [
      ...(old.unknown.length === 0 ? [] : [previewSentences.unknownNow(name, old.unknown)]),
      ...(later.unknown.length === 0 ? [] : [previewSentences.unknownThen(name, later.unknown)]),
      ...(old.unknown.length > later.unknown.length && (later.value ?? 0) < (old.value ?? 0)
        ? [previewSentences.knownCloser(name)]
        : []),
    ]),
    lacks: after.status === 'unknown' ? after.lacks.map((one) => lackSentence(one, speech)) : [],
  };
}

/** The mistakes of the place of one thing, each at its field x, y or z; those of other things are not this form's. */
export function mistakesOfPlace(problems: readonly LightProblem[], id: string, speech: LightSpeech): FormError[] {
  const found = new Map<string, string>();
  for (const one of problems) {
    const field = fieldOf(one, id);
    if (field !== null && !found.has(field)) found.set(field, problemSentence(one, speech));
  }
  return [...found].map(([field, message]) => ({ field, message }));
}

const fieldAlong = { length: 'x', depth: 'y', height: 'z' } as const;

function fieldOf(one: LightProblem, id: string): string | null {
  switch (one.problem) {
    case 'outside-box':
      return one.fittingId === id ? fieldAlong[one.along] : null;
    case 'lamp-inside-solid':
      return one.fittingId === id || one.solidId === id ? 'z' : null;
    case 'no-distance':
    case 'lamp-not-above':
      return one.fittingId === id || one.placeId === id ? 'z' : null;
    default:
      return null;
  }
}

function pointsText(value: number, low: number, high: number): string {
  return `${Math.round(value)} (${Math.round(low)} to ${Math.round(high)})`;
}
