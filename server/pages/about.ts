// The page that says what the score means and what it does not: weights, allowances, words and every choice that is the ledger's own.

import type { FastifyInstance } from 'fastify';
import { type CareFigures, countCareFigures } from '../../src/care-figures.ts';
import { DEFAULT_CHOICES, type ValueChoices } from '../../src/score.ts';
import { GRADES, NEEDS, STANDINGS } from '../../src/species.ts';
import { aboutWords, careFiguresSentences, shareOfFigures } from '../about-words.ts';
import { cautions } from '../caution-words.ts';
import { readLedger } from '../db/ledger.ts';
import { needNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { valueChoicesOf } from '../scores.ts';
import { gradeMeanings, gradeWords, standingMeanings, standingWords } from '../source-words.ts';
import { programVersion } from '../version.ts';
import { sharedWords } from '../words.ts';

/** What views/pages/about.hbs shows. */
type AboutPage = {
  heading: string;
  /** A sentence under the heading, or null. */
  lead: string | null;
  /** Each thing said: a short heading and paragraphs. */
  parts: { heading: string; paragraphs: readonly string[] }[];
  needsCaption: string;
  needs: { name: string; weight: string; share: string; allowance: string; asks: string }[];
  /** What the library of species holds. */
  figures: string[];
  grades: { word: string; meaning: string; share: string }[];
  standings: { word: string; meaning: string; share: string }[];
  choicesHref: string;
  exportHref: string;
  cautions: string[];
  /** Which version of the program this is, as a sentence. */
  version: string;
};

/** The page, by the value choices of the ledger and the figures of its library. */
function aboutPage(choices: ValueChoices, counted: CareFigures): AboutPage {
  const { weights, allowances } = choices;
  const isUsual = NEEDS.every(
    (need) => weights[need] === DEFAULT_CHOICES.weights[need] && allowances[need] === DEFAULT_CHOICES.allowances[need],
  );
  const total = NEEDS.filter((need) => need !== 'water').reduce((sum, need) => sum + weights[need], 0);
  return {
    heading: 'About the score',
    lead: aboutWords.lead,
    parts: aboutWords.parts(choices),
    needsCaption: aboutWords.needsCaption(isUsual),
    needs: NEEDS.map((need) => ({
      name: needNames[need],
      weight: String(weights[need]),
      share: need === 'water' ? 'where it applies' : `${Math.round((100 * weights[need]) / total)} %`,
      allowance: String(allowances[need]),
      asks: aboutWords.asks[need],
    })),
    figures: careFiguresSentences(counted),
    grades: GRADES.map((grade) => ({
      word: gradeWords[grade],
      meaning: gradeMeanings[grade],
      share: shareOfFigures(counted.byGrade[grade], counted),
    })),
    standings: STANDINGS.map((standing) => ({
      word: standingWords[standing],
      meaning: standingMeanings[standing],
      share: shareOfFigures(counted.byStanding[standing], counted),
    })),
    choicesHref: paths.valueChoices.show,
    exportHref: paths.export.show,
    version: sharedWords.version(programVersion),
    cautions: [cautions.vet, cautions.unknowable, cautions.burns, cautions.uvAndEyes, cautions.mainsAndWater],
  };
}

export function aboutPages(app: FastifyInstance, { db, library, render }: Deps): void {
  app.get(paths.about, (_request, reply) => {
    const model = aboutPage(valueChoicesOf(readLedger(db)), countCareFigures(library()));
    return render(reply, 'about', model, { title: model.heading, current: 'about' });
  });
}
