// The page that says what the score means and what it does not.

import type { FastifyInstance } from 'fastify';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';

/** What views/pages/about.hbs shows. */
type AboutPage = {
  heading: string;
  /** A sentence under the heading, or null. */
  lead: string | null;
  /** Each thing said: a short heading and a paragraph. */
  parts: { heading: string; text: string }[];
};

/** The page, which is the same for everyone. */
export function aboutPage(): AboutPage {
  return {
    heading: 'About the score',
    lead: null,
    parts: [
      {
        heading: 'What it judges',
        text: 'The score says how much of what its species is known to need an enclosure offers. It judges the enclosure, never how an animal feels.',
      },
      {
        heading: 'What it does not replace',
        text: 'A reptile veterinarian judges the animal, and a qualified electrician and the rules where you live judge the wiring.',
      },
    ],
  };
}

export function aboutPages(app: FastifyInstance, { render }: Deps): void {
  app.get(paths.about, (_request, reply) =>
    render(reply, 'about', aboutPage(), { title: 'About the score', current: 'about' }),
  );
}
