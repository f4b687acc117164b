// The first page: what to do this month. For now it says that the ledger is empty.

import type { FastifyInstance } from 'fastify';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';

/** What views/pages/home.hbs shows. */
type HomePage = {
  heading: string;
  /** A sentence under the heading, or null. */
  lead: string | null;
  /** What belongs here when nothing is kept yet. */
  empty: { heading: string; text: string; href: string; action: string };
};

/** The page of a ledger that holds nothing yet. */
export function homePage(): HomePage {
  return {
    heading: 'This month',
    lead: null,
    empty: {
      heading: 'Nothing to decide yet',
      text: 'Enter an enclosure and the animal that lives in it. The ledger then says what it offers, what is missing, and what to buy first.',
      href: paths.enclosures.new,
      action: 'Enter an enclosure',
    },
  };
}

export function homePages(app: FastifyInstance, { render }: Deps): void {
  app.get(paths.home, (_request, reply) => render(reply, 'home', homePage(), { title: 'This month', current: 'home' }));
}
