// The year that the guide tells, lived through on the program's own pages: every form is sent as a keeper would, and every figure that the
// guide prints is read off a page. What the keeper reads from instruments, packages and shops is invented here and nowhere else.

import { listFittings } from '../../server/db/collection.ts';
import { listUpgrades } from '../../server/db/upgrades.ts';
import { paths } from '../../server/paths.ts';
import { type Answer, closeApp, formValues, openApp, tableRows, textOf, textsOf } from './app.ts';

const probeLooked = { 'answer-probe-in-place': 'yes' };

// Long enough for the plan of this small ledger to be found many times over; that it is the best is not what the guide says.
const PLANNING_MILLISECONDS = 600;

/** Lives through the year and gives each figure of it by its name, as it is written on the page it was read from. */
export async function liveTheYear(): Promise<Record<string, string>> {
  let now = new Date('2026-01-15T20:00:00Z');
  let at = '';
  const app = await openApp({ now: () => now, planningMilliseconds: PLANNING_MILLISECONDS });
  const { get, submit } = app;
  const figures: Record<string, string> = {};

  const goTo = (day: string, what: string) => {
    now = new Date(`${day}T20:00:00Z`);
    at = what;
  };
  const send = async (url: string, changes: Record<string, string | null> = {}, action?: string): Promise<Answer> => {
    const page = await get(url);
    // Whoever fits a thermostat fixes its probe, and says so where it is asked.
    const looked = page.document.querySelector('input[name="answer-probe-in-place"]') === null ? {} : probeLooked;
    const answer = await submit(page, { ...looked, ...changes }, action);
    if (answer.status !== 303)
      throw new Error(`${at}: ${url} answers ${answer.status}: ${textOf(answer).slice(0, 400)}`);
    return answer;
  };
  /** Takes the groups of a pattern from the words of a page as figures, under the names given. */
  const read = async (names: string | readonly string[], url: string, pattern: RegExp): Promise<void> => {
    const text = textOf(await get(url));
    const hit = pattern.exec(text);
    if (hit === null) throw new Error(`${at}: ${url} holds nothing like ${pattern}: ${text.slice(0, 1500)}`);
    for (const [index, name] of [names].flat().entries()) figures[name] = hit[index + 1]!;
  };
  const score = (name: string, id: number) =>
    read(name, paths.animals.show(id), /(?:Far short|Part way|Near|Meets the target): (\d+) of 100(?! Weighs)/);
  const range = (name: string, id: number) =>
    read(
      name,
      paths.animals.show(id),
      /(?:Far short|Part way|Near|Meets the target): \d+ of 100, between (\d+ and \d+)/,
    );
  const checks = (enclosure: number, yes: readonly string[], no: readonly string[]) =>
    send(paths.enclosures.checks(enclosure), {
      ...Object.fromEntries(yes.map((one) => [one, 'yes'])),
      ...Object.fromEntries(no.map((one) => [one, 'no'])),
    });
  const change = (enclosure: number, fitting: number, values: Record<string, string>) =>
    send(paths.enclosures.fittings.edit(enclosure, fitting), values);
  // A value that is far from the one before is asked back; it is looked at again and ticked.
  const round = async (enclosure: number, values: Record<string, string>): Promise<string> => {
    const typed = Object.fromEntries(Object.entries(values).map(([kind, value]) => [`value-${kind}`, value]));
    const first = await submit(await get(paths.enclosures.round(enclosure)), { hour: '15', room: '20', ...typed });
    if (first.status === 303) return '';
    const ticks = Object.fromEntries(Object.keys(values).map((kind) => [`sure-${kind}`, 'yes']));
    const second = await submit(first, ticks);
    if (second.status !== 303) throw new Error(`${at}: ${textOf(second).slice(0, 400)}`);
    return textsOf(first, '.error-summary li').join(' ');
  };
  const idOf = (name: string, enclosure: number) => {
    const row = listUpgrades(app.db).find(
      (one) =>
        one.name.startsWith(name) &&
        one.status !== 'fitted' &&
        JSON.stringify(one.changes).includes(`"enclosureId":"${enclosure}"`),
    );
    if (row === undefined) throw new Error(`${at}: no upgrade of box ${enclosure} begins with ‘${name}’`);
    return Number(row.id);
  };
  const buyAndFit = (id: number, boughtOn: string, fittedOn: string, paid: string) =>
    send(paths.upgrades.fitted(id), { boughtOn, fittedOn, paid });
  const price = (key: string, priceLow: string) => send(paths.upgrades.newFrom(key), { priceLow, priceHigh: '' });
  const planned = async () => {
    for (let tries = 0; (await get(paths.roadmap.progress)).status !== 303; tries += 1) {
      if (tries > 2_000) throw new Error(`${at}: no plan came`);
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
    // What the plan looks like from other sides is no part of the guide.
    await app.post(paths.roadmap.stop);
  };

  try {
    goTo('2026-01-15', 'the first evening');
    await send(paths.start.writing, { currency: 'GBP' });
    await send(paths.start.animal('bearded-dragon'), {
      ...{ name: 'Ash', age: 'grown', animalLength: '20', length: '90', depth: '45', height: '45', sort: 'wood' },
      ...{ warmer: 'lamp-open', uv: 'tube-old', 'there-hide-cool': 'yes', 'there-water-dish': 'yes' },
    });
    await send(paths.start.animal('royal-python'), {
      ...{ name: 'Bramble', age: 'grown', animalLength: '110', length: '80', depth: '40', height: '30' },
      ...{ sort: 'plastic', warmer: 'mat-alone', uv: 'none', 'there-hide-warm': 'yes', 'there-water-dish': 'yes' },
    });
    await send(paths.start.money, { monthlySum: '60', cashCounted: '150' });
    await score('ashFirst', 1);
    await range('ashFirstRange', 1);
    await score('brambleFirst', 2);
    await range('brambleFirstRange', 2);

    goTo('2026-01-24', 'the borrowed meter');
    const held = [
      'escape-proof',
      'dark-at-night',
      'easy-exit',
      'nothing-toxic',
      'residual-current-device',
      'smoke-alarm',
    ];
    await checks(1, held, ['drip-loop']);
    await checks(2, held, ['drip-loop']);
    await change(1, 1, { fittedOn: '2025-10-01', watts: '75', hoursPerDay: '12', lifeMonths: '8', renewalPrice: '9' });
    await change(1, 2, { watts: '24', hoursPerDay: '12', renewalPrice: '32' });
    await change(2, 5, { watts: '20', hoursPerDay: '24' });
    await round(1, {
      ...{ 'hot-spot-surface': '36', 'cool-end-air': '26', 'night-air': '18' },
      ...{ 'uvi-basking': '0.4', 'uvi-lowest': '0', 'humidity-day': '38' },
    });
    await round(2, {
      ...{ 'warm-hide-floor': '40', 'warm-air': '27', 'cool-end-air': '24', 'night-air': '22', 'humidity-day': '45' },
    });
    await score('ashRead', 1);
    await score('brambleRead', 2);
    await read('ashUvRead', paths.animals.show(1), /UV Far short: (\d+) of 100/);
    await read('ashUvRange', paths.animals.show(1), /UV Far short: \d+ of 100, between (\d+ and \d+)/);
    await read('brambleHeatRead', paths.animals.show(2), /Heat (?:Far short: |is severely short: )(\d+) of 100/);
    const free = [...(await get(paths.upgrades.list)).document.querySelectorAll('main form')]
      .filter((form) => form.getAttribute('action') === paths.upgrades.acceptProposal)
      .map((form) => formValues(form).key!);
    for (const key of free) await app.post(paths.upgrades.acceptProposal, { key });
    for (const { id } of listUpgrades(app.db)) await send(paths.upgrades.fitted(id));
    figures.freeThings = String(free.length);
    await score('ashFree', 1);
    await score('brambleFree', 2);

    goTo('2026-01-25', 'the first roadmap');
    await round(2, { 'warm-hide-floor': '36', 'humidity-day': '64' });
    await price('1:kit 1', '14');
    await price('1:kit uv', '58');
    await price('1:box home-made', '165');
    await price('1:kit climb', '15');
    await price('1:kit dig', '12');
    await price('2:kit 5', '32');
    await price('2:kit moist', '9');
    await price('2:box home-made', '140');
    await price('2:kit climb', '12');
    await send(paths.roadmap.show, {}, paths.roadmap.plan);
    await planned();
    const roadmap = await get(paths.roadmap.show);
    const cash = tableRows(roadmap, 'Cash by month');
    const scores = tableRows(roadmap, 'Scores by month, of 100');
    for (const [name, month] of [
      ['January', 0],
      ['March', 2],
      ['June', 5],
      ['July', 6],
    ] as const) {
      figures[`bought${name}`] = cash[month]![3]!;
      figures[`left${name}`] = cash[month]![5]!;
    }
    figures.ashPlannedJanuary = scores[0]![1]!;
    figures.bramblePlannedJanuary = scores[2]![1]!;
    figures.bramblePlannedMarch = scores[2]![3]!;
    figures.ashPlannedMay = scores[0]![5]!;
    figures.ashPlannedJune = scores[0]![6]!;
    figures.ashPlannedEnd = scores[0]![12]!;
    figures.bramblePlannedEnd = scores[2]![12]!;
    figures.ashNothing = scores[1]![12]!;
    figures.brambleNothing = scores[3]![12]!;
    await read(
      ['pointsPlanned', 'pointsNothing', 'severeNothing', 'severePlanned'],
      paths.roadmap.show,
      /with the plan(\d+) points × monthsScores if you buy nothing(\d+) points × monthsSevere shortfalls × months(\d+) if you buy nothing, (\d+) with/,
    );
    await read('spent', paths.roadmap.show, /Spent on upgrades(£[\d.]+)/);

    goTo('2026-01-31', 'the first parcels');
    const thermostat = idOf('Thermostat', 2);
    const tube = idOf('T5 UV-B tube', 1);
    await read('thermostatPromise', paths.upgrades.sheet(thermostat), /Promised: (\d+ °C)/);
    await read('thermostatLeast', paths.upgrades.sheet(thermostat), /rated for at least (\d+ W)/);
    await read(['tubeDistance'], paths.upgrades.sheet(tube), /Hang it (\d+ cm) from/);
    await read(['tubePromise', 'tubePromiseError'], paths.upgrades.sheet(tube), /Promised: ([\d.]+) \(± ([\d.]+)\)/);
    for (const [id, paid] of [
      [thermostat, '32'],
      [idOf('Wire guard', 1), '14'],
      [tube, '61.50'],
      [idOf('Moist hide', 2), '9'],
    ] as const) {
      await send(paths.upgrades.bought(id), { paid });
      await send(paths.upgrades.fitted(id));
    }
    await score('ashFitted', 1);
    await score('brambleFitted', 2);

    goTo('2026-02-01', 'proof by meter');
    figures.askedBack = await round(1, {
      ...{ 'uvi-basking': '2.6', 'uvi-lowest': '0', 'hot-spot-surface': '39', 'cool-end-air': '26' },
    });
    await round(2, { 'warm-hide-floor': '32', 'humidity-day': '64', 'humidity-retreat': '85' });
    await read(
      ['tubeDifference', 'tubeDifferenceError'],
      paths.upgrades.show(tube),
      / on 1 February 2026(−[\d.]+) \(± ([\d.]+)\)below what was promised by more than the error/,
    );
    await score('ashProved', 1);
    await score('brambleProved', 2);

    at = 'closing January';
    await send(paths.months.close('2026-01'));
    const money = tableRows(await get(paths.months.show('2026-01')), 'Money, planned and actual');
    const due = money.find(([what]) => what!.startsWith('Purchases due'))!;
    figures.dueJanuary = due[1]!;
    figures.actualJanuary = due[2]!;
    figures.priceRatio = /ratio ([\d.]+)/.exec(
      money.find(([what]) => what!.includes('worth what is in use'))!.join(),
    )![1]!;
    await read(['spentForecast'], paths.months.show('2026-01'), /the whole plan comes to (£[\d.]+) instead/);

    goTo('2026-03-14', 'the box of March');
    await buyAndFit(idOf('Branches to climb', 2), '2026-03-01', '2026-03-01', '12');
    await buyAndFit(idOf('Box made by yourself', 2), '2026-03-07', '2026-03-14', '140');
    await score('brambleUnread', 2);
    await checks(2, [...held, 'drip-loop', 'probe-in-place'], []);
    await send(paths.rooms.new, {
      name: 'Back room',
      coldest: '18',
      coldestMonth: '1',
      hottest: '25',
      hottestMonth: '7',
    });
    const walls = { wall: '15 mm', frontMaterial: 'glass', front: '4 mm', airChanges: '1', room: '1' };
    await send(paths.enclosures.build(2), walls);
    goTo('2026-03-16', 'the cold box');
    await round(2, {
      ...{ 'warm-hide-floor': '31', 'warm-air': '22', 'cool-end-air': '21', 'night-air': '20' },
      ...{ 'humidity-day': '60', 'humidity-retreat': '85' },
    });
    await score('brambleCold', 2);
    await read(
      'brambleColdHeat',
      paths.animals.show(2),
      /Heat (?:Far short: |Part way: |is severely short: )(\d+) of 100/,
    );
    await read(['boxLoss'], paths.enclosures.warmth(2), /Heat loss([\d.]+ W per °C)/);
    await read(
      ['heatNeededDay', 'heatNeededNight'],
      paths.enclosures.warmth(2),
      /Heat needed(\d+ W) \(\d+ to \d+\)(\d+ W)/,
    );
    await read(['matReaches'], paths.enclosures.warmth(2), /Most it can reach([\d.]+ °C)/);
    await price('2:kit overhead', '58');
    const heater = idOf('Heater without light', 2);
    await read('heaterWatts', paths.upgrades.show(heater), /Heater without light[^,]*, (?:[a-z ]+, )?(\d+ W)/);
    goTo('2026-04-06', 'the heater');
    await buyAndFit(heater, '2026-04-04', '2026-04-04', '58');
    await round(2, {
      ...{ 'warm-hide-floor': '32', 'warm-air': '28', 'cool-end-air': '25', 'night-air': '24' },
      ...{ 'humidity-day': '62', 'humidity-retreat': '85' },
    });
    await score('brambleWarm', 2);

    goTo('2026-05-09', 'the lamp breaks');
    await send(paths.enclosures.fittings.broke(1, 1), { brokeOn: '2026-05-09' });
    await planned();
    await score('ashBroken', 1);
    goTo('2026-05-10', 'the new lamp');
    const lamp = listUpgrades(app.db).find((one) => one.name.includes('in place of what broke'))!;
    await buyAndFit(Number(lamp.id), '2026-05-10', '2026-05-10', '9.50');
    await round(1, {
      ...{ 'hot-spot-surface': '39', 'cool-end-air': '26', 'night-air': '19' },
      ...{ 'uvi-basking': '2.6', 'uvi-lowest': '0', 'humidity-day': '38' },
    });
    await score('ashMended', 1);

    goTo('2026-06-06', 'the box of June');
    await buyAndFit(idOf('Box made by yourself', 1), '2026-06-06', '2026-06-06', '158');
    await checks(1, [...held, 'drip-loop'], []);
    await send(paths.enclosures.build(1), walls);
    goTo('2026-06-08', 'the readings of June');
    await round(1, {
      ...{ 'hot-spot-surface': '40', 'cool-end-air': '27', 'night-air': '20' },
      ...{ 'uvi-basking': '2.4', 'uvi-lowest': '0', 'humidity-day': '38' },
    });
    await score('ashBoxed', 1);

    goTo('2026-08-15', 'the newcomer');
    for (const enclosure of [1, 2])
      for (const one of listFittings(app.db, enclosure))
        if (one.lifeMonths !== null && one.renewalPrice === null)
          await change(enclosure, Number(one.id), { renewalPrice: one.kind === 'uv-tube' ? '34' : '12' });
    await send(paths.cap.change, {
      ...{ minutesAWeek: '240', floorM2: '2.4', largestEmergency: '180' },
      ...{ quarantineWeeks: '12', quarantineBox: '35', newcomerVet: '60' },
      ...{ 'minutes-1': '110', 'food-1': '22', 'substrate-1': '3', 'vet-1': '6' },
      ...{ 'minutes-2': '40', 'food-2': '8', 'substrate-2': '3', 'vet-2': '6' },
    });
    await read(['floorUsed', 'floorThere'], paths.cap.show, /Floor at adult size([\d.]+ m²)([\d.]+ m²)/);
    await read(['floorLacking'], paths.cap.show, /One more would lack ([\d.]+ m²) of floor/);
    await read(['reserveLacking'], paths.cap.show, /(£[\d.]+) are lacking for the largest emergency/);
    const newcomer = { species: 'crested-gecko', ownPrice: '190', food: '6', substrate: '2', vet: '5' };
    await send(paths.cap.ask('one-more'), newcomer);
    let answered: string | null = null;
    for (let tries = 0; answered === null; tries += 1) {
      if (tries > 2_000) throw new Error(`${at}: no answer came`);
      const progress = await get(paths.cap.progress);
      answered = progress.status === 303 ? progress.location : null;
      if (answered === null) await new Promise((resolve) => setTimeout(resolve, 50));
    }
    await read(
      ['newcomerLacking', 'newcomerMonth'],
      answered,
      /It cannot be paid: (£[\d.]+) would be lacking in ([A-Z][a-z]+ \d{4})/,
    );

    goTo('2026-11-21', 'winter');
    const renewals = tableRows(await get(paths.renewals), 'Each renewal by its day');
    for (const [name, thing] of [
      ['renewalLamp', 'Basking lamp'],
      ['renewalTube', 'T5 UV-B tube'],
    ] as const) {
      const cells = renewals.find(([what]) => what!.startsWith(thing))!;
      figures[name] = cells.find((cell) => /^\d+ \w+ \d{4}$/.test(cell))!;
      figures[`${name}Price`] = cells.find((cell) => cell.startsWith('£'))!;
    }
    await read('renewalShare', paths.renewals, /Share of each month(£[\d.]+)/);
    await read('heaterKwh', paths.enclosures.warmth(2), /The heater draws (\d+ kWh)/);
    await read(
      ['heaterShareDay', 'heaterShareNight'],
      paths.enclosures.warmth(2),
      /Share of the time it is on(\d+ %) \([^)]*\)(\d+ %)/,
    );

    goTo('2026-11-28', 'the vet');
    const weights = paths.animals.signs.newOf(2, 'weight');
    await send(weights, { notedOn: '2026-08-20', grams: '1480' });
    await send(weights, {
      notedOn: '2026-11-28',
      grams: '1290',
      worrying: 'yes',
      setAside: '70',
      setAsideMonth: '2026-12',
    });
    await read(['weightNow', 'vetSum'], paths.animals.show(2), /Weight: (\d+ g)[^£]*(£[\d.]+) from December/);
    await score('ashEnd', 1);
    await score('brambleEnd', 2);
    await read('cashEnd', paths.home, /Money (£[\d.]+) Buy now/);
    return figures;
  } finally {
    await closeApp(app);
  }
}
