// The page that says what the score means and what it does not: weights, allowances, words and every choice that is the ledger's own.

import type { FastifyInstance } from 'fastify';
import { DEFAULT_CHOICES } from '../../src/score.ts';
import { GRADES, NEEDS, STANDINGS } from '../../src/species.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import {
  aboutWords,
  cautions,
  gradeMeanings,
  gradeWords,
  needNames,
  standingMeanings,
  standingWords,
} from '../words.ts';

/** What views/pages/about.hbs shows. */
type AboutPage = {
  heading: string;
  /** A sentence under the heading, or null. */
  lead: string | null;
  /** Each thing said: a short heading and paragraphs. */
  parts: { heading: string; paragraphs: readonly string[] }[];
  needs: { name: string; weight: string; share: string; allowance: string; asks: string }[];
  grades: { word: string; meaning: string }[];
  standings: { word: string; meaning: string }[];
  cautions: string[];
};

/** The page, which is the same for everyone. */
export function aboutPage(): AboutPage {
  const { weights, allowances } = DEFAULT_CHOICES;
  const total = NEEDS.filter((need) => need !== 'water').reduce((sum, need) => sum + weights[need], 0);
  return {
    heading: 'About the score',
    lead: aboutWords.lead,
    parts: aboutWords.parts(DEFAULT_CHOICES.alpha),
    needs: NEEDS.map((need) => ({
      name: needNames[need],
      weight: String(weights[need]),
      share: need === 'water' ? 'where it applies' : `${Math.round((100 * weights[need]) / total)} %`,
      allowance: String(allowances[need]),
      asks: aboutWords.asks[need],
    })),
    grades: GRADES.map((grade) => ({ word: gradeWords[grade], meaning: gradeMeanings[grade] })),
    standings: STANDINGS.map((standing) => ({ word: standingWords[standing], meaning: standingMeanings[standing] })),
    cautions: [cautions.vet, cautions.unknowable, cautions.burns, cautions.uvAndEyes, cautions.mainsAndWater],
  };
}

export function aboutPages(app: FastifyInstance, { render }: Deps): void {
  app.get(paths.about, (_request, reply) => {
    const model = aboutPage();
    return render(reply, 'about', model, { title: model.heading, current: 'about' });
  });
}
