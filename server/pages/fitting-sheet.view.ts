// What a fitting sheet shows, already in words: thing by thing, then the run without the animal, the readings, and the cautions.

import type { PlainDate } from '../../src/calendar.ts';
import { formatDate } from '../../src/calendar.ts';
import type { ReadingKind } from '../../src/collection.ts';
import type { FittingSheet } from '../../src/fitting-sheet.ts';
import { bandsOf } from '../../src/reading-round.ts';
import { type Scoring, targetsOn } from '../../src/score.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatQuantity, formatSize } from '../../src/units.ts';
import type { UpgradeRecord } from '../db/upgrades.ts';
import {
  coldBoxSentences,
  differenceWords,
  firstUvSentence,
  foundedWords,
  readingTimeWords,
  sheetCautions,
  sheetSentence,
  thingHeading,
  trialSentence,
} from '../fitting-words.ts';
import { readingDimensions, readingHints, readingNames } from '../kind-words.ts';
import { listed } from '../words.ts';
import { targetText } from './round.view.ts';
import { placeWords } from './upgrades.view.ts';

/** A sentence with how well it is founded beside it. */
type Line = { text: string; founded: string };

/** What views/pages/fitting-sheet.hbs shows. */
type FittingSheetPage = {
  heading: string;
  lead: string;
  nothing: string | null;
  boxes: string[];
  things: { heading: string; where: string; lines: Line[] }[];
  animals: Line[];
  readings: { what: string; how: string; when: string; target: string; promised: string; founded: string }[];
  cautions: string[];
};

/** The sheet of one upgrade. */
export function fittingSheetPage(
  upgrade: UpgradeRecord,
  sheet: FittingSheet,
  { collection, library, on }: Pick<Scoring, 'collection' | 'library' | 'on'>,
  { unitSystem: system, locale }: { unitSystem: UnitSystem; locale: string },
  today: PlainDate,
): FittingSheetPage {
  const where = sheet.enclosureIds.map((id) => placeWords(id, collection));
  const day = formatDate(upgrade.fittedOn ?? today, locale);
  const state = upgrade.status === 'fitted' ? `Fitted on ${day}.` : `As the set-up stands on ${day}.`;
  return {
    heading: `Fitting sheet: ${upgrade.name}`,
    lead: `${where.length === 0 ? '' : `For ${listed(where)}. `}${state}`,
    nothing:
      sheet.things.length + sheet.boxes.length + sheet.readings.length > 0
        ? null
        : 'It changes nothing that is fitted and no reading, so there is nothing to fit.',
    boxes: sheet.boxes.flatMap((one) => [
      `Set up the new box, ${formatSize(one.lengthMm, one.depthMm, one.heightMm, system)} inside, let new wood, paint or silicone air until nothing smells, and look at locks, probes and cables again: answers given for the old box do not hold.`,
      ...coldBoxSentences(one.coldest, system),
    ]),
    things: sheet.things.map((thing) => ({
      heading: thingHeading(thing),
      where: placeWords(thing.enclosureId, collection),
      lines: thing.lines.map(({ standing, ...fact }) => ({
        text: sheetSentence(fact, system),
        founded: foundedWords(standing),
      })),
    })),
    animals: [
      ...(sheet.trialHours === null ? [] : [{ text: trialSentence, founded: foundedWords(sheet.trialHours.standing) }]),
      ...(sheet.firstUv === null
        ? []
        : [
            {
              text: firstUvSentence(sheet.firstUv.animals, sheet.firstUv.fullHours),
              founded: foundedWords(sheet.firstUv.standing),
            },
          ]),
    ],
    readings: sheet.readings.map(({ enclosureId, kind, time, standing, promised }) => ({
      what:
        sheet.enclosureIds.length < 2
          ? readingNames[kind]
          : `${readingNames[kind]}, ${placeWords(enclosureId, collection)}`,
      how: readingHints[kind],
      target: targetText(kind, bandsIn(enclosureId, kind), system),
      when: readingTimeWords[time],
      promised:
        promised === null
          ? ''
          : `Promised: ${formatQuantity(promised.predicted, readingDimensions[kind], system)} (${differenceWords(promised.error, kind, system, false)}).`,
      founded: foundedWords(standing),
    })),
    cautions: sheet.cautions.map((one) => sheetCautions[one]),
  };

  function bandsIn(enclosureId: string, kind: ReadingKind) {
    return collection.animals.flatMap((animal) => {
      if (animal.enclosureId !== enclosureId) return [];
      const band = bandsOf(animal, targetsOn(animal, { library, on }), library.uvZones).get(kind);
      return band === undefined ? [] : [{ animal, band }];
    });
  }
}
