// The main job as a keeper does it on a telephone whose browser runs no script, and by keyboard alone: from an empty ledger to a roadmap, and
// a month of living with it, closed at its end. Everything is pressed and typed on the pages; what is asserted is what can be read on them.

import { afterAll, describe, expect, test } from 'vitest';
import { startApp, testMoment } from '../support/app.ts';
import { closeBrowser, openWindow, withoutBrowser } from '../support/browser.ts';
import { byFinger, byKeyboard, keeperAt, seen } from '../support/keeper.ts';

afterAll(closeBrowser);

// Without a script on a telephone, and with one by nothing but a keyboard.
describe.skipIf(withoutBrowser).each([
  ['by finger, without JavaScript', false],
  ['by keyboard alone', true],
] as const)('%s', (_how, isByKeyboard) => {
  test('a new keeper goes from an empty ledger to a roadmap, buys, fits, reads, and plans again', async () => {
    let now = testMoment;
    const { app } = await startApp({ now: () => now, planningMilliseconds: 300 });
    const { page, complaints } = await openWindow(
      app,
      isByKeyboard ? { reducedMotion: 'reduce' } : { javaScriptEnabled: false, isMobile: true, hasTouch: true },
    );
    const hands = isByKeyboard ? byKeyboard(page) : byFinger;
    const { read, notice, press, goTo, fill, choose, done, plan, row, unfold } = keeperAt(page, hands);

    await page.goto('/');
    expect(await read()).toContain('Begin your own ledger');

    // The long way, page by page: an enclosure and who lives there.
    await goTo('Enclosures');
    await press('Enter an enclosure');
    await fill({ Name: 'Cupboard', 'Inside length': '90', 'Inside depth': '45', 'Inside height': '45' });
    await fill({ Walls: 'Wood', Top: 'Closed, with vents', 'Set up in this form and place since': '2025-06-01' });
    await done('Enter this enclosure', 'Added.');
    expect(await read()).toContain('90 cm × 45 cm × 45 cm');
    await press('Enter an animal that lives here');
    await fill({ Name: 'Pebble', Species: 'Leopard gecko (Eublepharis macularius), measured from snout to vent' });
    await fill({ Length: '12 cm', 'Measured on': '2026-01-10' });
    await done('Enter this animal', 'Added.');
    expect(await read()).toContain('Nothing is entered as fitted in “Cupboard” yet');

    // What is fitted.
    await press('Enter what is fitted');
    await press('Heat mat');
    await fill({ Name: 'Heat mat, 14 W', 'In use since': '2025-06-01', Watts: '14', 'Hours a day': '24' });
    await done('Enter this', 'Added.');
    await press('Enter something fitted');
    await press('Hide');
    await fill({ Name: 'Half log', 'In use since': '2025-06-01', Place: 'The cool end' });
    await done('Enter this', 'Added.');

    // What the instruments read; a comma is a decimal comma.
    for (const [kind, value] of [
      ['Temperature of the floor of the warm hide', '31,5'],
      ['Temperature of the air at the cool end', '23'],
      ['Temperature of the air at night', '20'],
      ['Relative humidity by day', '40'],
    ] as const) {
      await press('Enter a reading');
      await press(kind);
      await fill({ Value: value, 'Taken on': '2026-01-12' });
      await done('Enter this reading', 'Added.');
    }
    expect(await read()).toContain('31,5 °C');
    await press('Answer the checks');
    for (const question of ['Can nobody get out?', 'Is it dark at night?']) await choose(question, 'Yes');
    await choose('Is there a tested smoke alarm in the room?', 'No');
    await choose('Is everything inside free of poison, fumes and sharp edges?', 'Yes');
    await done('Save the answers', 'Saved.');

    // The score says what is wrong.
    await goTo('Animals');
    await press('Pebble');
    expect(await read()).toContain('“Heat mat, 14 W” heats without a thermostat that regulates it');
    expect(await read()).toMatch(/Far short: \d+ of 100/);

    // Money, first with a mistake: nothing that was typed is lost.
    await goTo('Money');
    await press('Enter the money');
    await fill({ 'Sum a month': '25', 'Cash counted': '80,00', 'Counted on': '2026-02-15' });
    await press('Save');
    expect(await page.title()).toMatch(/^Not saved: /);
    expect(await read()).toContain('Check the day of the count: it lies in the future.');
    if (isByKeyboard) {
      expect(await page.evaluate('document.activeElement.className')).toBe('error-summary');
      await hands.press(page.getByRole('link', { name: 'Check the day of the count: it lies in the future.' }));
      expect(await page.evaluate('document.activeElement.name')).toBe('cashCountedOn');
    }
    expect(await page.getByLabel('Cash counted', { exact: true }).inputValue()).toBe('80,00');
    await fill({ 'Counted on': '2026-01-15' });
    await choose('Is the sum of that month already in it?', 'Yes');
    await done('Save', 'Saved.');
    expect(await read()).toContain('Cash in hand today €80.00');

    // Proposals: the free ones that are in sight and two priced ones are accepted, one is refused.
    await goTo('Upgrades');
    const offered = (name: RegExp) => row(name).filter({ hasText: 'Refuse' }).first();
    let accepted = 0;
    for (
      ;
      accepted < 3 &&
      (await page
        .getByRole('button', { name: /^Accept/ })
        .first()
        .isVisible());
      accepted += 1
    ) {
      await press(/^Accept/);
      expect(await notice()).toBe('It is wanted now and enters the next plan.');
    }
    expect(accepted).toBeGreaterThan(1);
    for (const name of [/^Thermostat/, /^Smoke alarm/]) {
      await unfold();
      await press(/^Accept/, offered(name));
    }
    await unfold();
    await press(/^Refuse/);
    expect(await notice()).toBe('Refused. It is kept in the list and enters no plan.');

    // The first roadmap.
    await goTo('Roadmap');
    await plan('Plan', { isScripted: isByKeyboard });
    const roadmap = await read();
    expect(roadmap).toContain('Made on 15 January 2026, from January 2026 on for 12 months.');
    expect(roadmap).toMatch(/January 2026: .*Thermostat|January 2026: \d purchases/);
    expect(roadmap).toMatch(/€\d+\.\d\d this month; €\d+\.\d\d in hand at its end\./);
    expect(roadmap).toMatch(/Pebble: Safety rises from 0 to \d+/);
    expect(roadmap).toMatch(/Month by month .*\. January 2026/);
    expect(roadmap).toContain('December 2026');

    // Bought at another price than planned, fitted, and read.
    const buy = page.locator('.buy').filter({ has: page.getByRole('heading', { name: /^Thermostat/ }) });
    await press('I bought it', buy);
    await fill({ 'Bought on': '2026-01-15', Paid: '19,90' });
    await done('Write it down as bought', 'Written down as bought.');
    await goTo('This month');
    expect(await read()).toMatch(/In hand Money €60\.10/);
    expect(await read()).toContain('The plan is out of date');
    await press('Fit it');
    await fill({ 'Fitted on': '2026-01-15' });
    await press('Change the set-up accordingly');
    expect(await read()).toContain('Readings to take now');
    await press(/^Temperature of the floor of the warm hide/);
    await fill({ Value: '32', 'Taken on': '2026-01-15' });
    await press('Enter this reading');
    const promised = await read();
    expect(promised).toMatch(/Temperature of the floor of the warm hide, “Cupboard” read since/);
    // What the purchase promised stands beside what was read after it.
    expect(promised).toContain('What it promises and what was measured');
    expect(promised).toMatch(/Temperature of the floor of the warm hide.* 32 °C/);

    // The next month: the plan begins there, and the plan of January stays as it was made.
    now = new Date('2026-02-03T09:00:00Z');
    await goTo('Roadmap');
    expect(await read()).toContain('This plan begins in January 2026, which is over.');
    await plan('Plan again', { isScripted: isByKeyboard });
    const later = await read();
    expect(later).toContain('Made on 3 February 2026, from February 2026 on for 12 months.');
    expect(later).toMatch(/Month by month .*\. February 2026/);
    expect(later).not.toContain('Pebble: Safety rises from 0');
    await hands.press(page.getByText('Each by its day'));
    await press(/of 15 January 2026/);
    const kept = await read();
    expect(kept).toContain('Plan of 15 January 2026');
    expect(kept).toMatch(/Pebble: Safety rises from 0 to \d+/);

    // January is looked back at and closed: what was paid, what was gained, and what was counted.
    await goTo('Months');
    await press('Close January 2026');
    await fill({ 'Money left, counted': '60,10', 'Counted on': '2026-01-31' });
    await choose('Is the sum of the month of that day already in it?', 'Yes');
    await done('Close the month', 'Closed. The month stays as it is here.');
    const closed = await read();
    // The menu tells where this is.
    expect(await seen(page.locator('.menu-here'))).toMatch(/Months$/);
    expect(closed).toMatch(/Thermostat.* €19\.90/);
    expect(closed).toContain('€60.10 was counted on 31 January 2026, as expected.');
    expect(complaints.filter((one) => !one.includes('422'))).toEqual([]);
  }, 400_000);
});
