// The page of words: what the trade and this ledger call things, each in one sentence.

import type { FastifyInstance } from 'fastify';
import { glossary, glossaryWords, placeOfWord } from '../glossary-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';

/** What views/pages/glossary.hbs shows. */
type GlossaryPage = {
  heading: string;
  lead: string;
  chapters: { heading: string; terms: { id: string; term: string; meaning: string; unit: string | null }[] }[];
};

export function glossaryPages(app: FastifyInstance, { render }: Deps): void {
  app.get(paths.glossary, (_request, reply) => {
    const model: GlossaryPage = {
      heading: glossaryWords.heading,
      lead: glossaryWords.lead,
      chapters: glossary.map(({ heading, terms }) => ({
        heading,
        terms: terms.map(({ key, term, meaning, unit }) => ({
          id: placeOfWord(key),
          term,
          meaning,
          unit: unit === null ? null : glossaryWords.unit(unit),
        })),
      })),
    };
    return render(reply, 'glossary', model, { title: model.heading, current: null });
  });
}
