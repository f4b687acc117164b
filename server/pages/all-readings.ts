// Every reading that was ever taken in an enclosure, a year at a time, each with the way to change and to remove it.

import type { FastifyInstance } from 'fastify';
import { yearOf } from '../../src/calendar.ts';
import { findEnclosure, listReadings } from '../db/collection.ts';
import { readLedger } from '../db/ledger.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { idFrom, presentRow } from './asked-row.ts';
import { newestFirst, type ReadingLine, readingLine } from './enclosures.view.ts';
import { addressWith, askedOf, type PagesView, pageOf } from './paging.ts';

/** What views/pages/all-readings.hbs shows. */
type AllReadingsPage = {
  heading: string;
  lead: string | null;
  /** The years in which something was read, the newest first. */
  years: { text: string; spoken: string; href: string; current: boolean }[];
  readings: ReadingLine[];
  pages: PagesView | null;
};

export function allReadingsPages(app: FastifyInstance, { db, render }: Deps): void {
  app.get(paths.enclosures.readings.all(':enclosure'), (request, reply) => {
    const enclosure = presentRow(findEnclosure(db, idFrom(request.params, 'enclosure')));
    const { locale, unitSystem: system, clockHours: clock } = readLedger(db);
    const readings = newestFirst(listReadings(db, Number(enclosure.id)));
    const asked = askedOf(paths.enclosures.readings.all(enclosure.id), request.query);
    const years = [...new Set(readings.map((one) => yearOf(one.takenOn)))];
    const year = years.find((one) => String(one) === asked.query.get('year')) ?? years[0] ?? null;
    const ofYear = readings.filter((one) => yearOf(one.takenOn) === year);
    const { rows, pages } = pageOf(ofYear, asked, { what: `readings of ${year}` });
    const model: AllReadingsPage = {
      heading: `Readings in “${enclosure.name}”`,
      lead: readings.length === 0 ? 'Nothing was read yet.' : null,
      years: years.map((one) => ({
        text: String(one),
        spoken: `Readings of ${one}`,
        href: addressWith(asked, { year: one === years[0] ? null : String(one), page: null }),
        current: one === year,
      })),
      readings: rows.map((one) => readingLine(enclosure.id, one, { locale, system, clock })),
      pages,
    };
    return render(reply, 'all-readings', model, {
      title: model.heading,
      current: 'enclosures',
      back: { href: paths.enclosures.show(enclosure.id), label: enclosure.name },
    });
  });
}
