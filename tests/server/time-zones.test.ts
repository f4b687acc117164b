// The clock of the computer may stand anywhere on earth: days and months are those of the ledger's own zone, so that no page and no file that
// leaves the ledger is another for it. The zones are one far west and the furthest east (IANA time zone database).

import { afterEach, expect, test } from 'vitest';
import { fillDemo } from '../../seed/demo.ts';
import { changeLedger, readLedger } from '../../server/db/ledger.ts';
import { openMemory } from '../../server/db/open.ts';
import { paths } from '../../server/paths.ts';
import { closeApp, openApp, testMoment } from '../support/app.ts';

const zoneBefore = process.env.TZ;
afterEach(() => {
  process.env.TZ = zoneBefore;
});

const zones = ['America/Los_Angeles', 'Pacific/Kiritimati'];

const addresses = [
  ...[
    paths.money,
    paths.months.list,
    paths.renewals,
    paths.animals.show(1),
    paths.export.calendar,
    paths.export.ledger,
  ],
  ...(['renewals', 'readings', 'plan'] as const).map((name) => paths.export.table(name)),
];

test('No page and no file of the ledger hangs on the zone of the computer, at any hour of the day', async () => {
  const db = openMemory();
  fillDemo(db, () => testMoment);
  changeLedger(db, readLedger(db).version, { timeZone: 'America/New_York' });
  let moment = testMoment;
  const app = await openApp({ db, now: () => moment });
  // The first minute and the last of the day on which the clock is set forward there (8 March 2026).
  for (const at of ['2026-03-08T05:00:00Z', '2026-03-09T03:59:00Z']) {
    moment = new Date(at);
    const answers = [];
    for (const zone of ['UTC', ...zones]) {
      process.env.TZ = zone;
      // The computer has really changed its zone.
      expect(new Date(2026, 0, 1).getTimezoneOffset() === 0, zone).toBe(zone === 'UTC');
      const pages = [];
      for (const url of addresses) {
        const { statusCode, body } = await app.app.inject({ url });
        expect(statusCode, url).toBe(200);
        // A form that enters something new is known by a random mark.
        pages.push(body.replace(/name="once" value="[^"]*"/g, ''));
      }
      answers.push(pages);
    }
    for (const [place, url] of addresses.entries())
      for (const [index, zone] of zones.entries())
        expect(answers[index + 1]![place] === answers[0]![place], `${url} at ${at} in ${zone}`).toBe(true);
  }
  await closeApp(app);
});
