import { expect, test } from 'vitest';
import { changeFitting, findFitting } from '../../../server/db/collection.ts';
import { changeLedger, readLedger } from '../../../server/db/ledger.ts';
import { lampOf } from '../../../src/collection.ts';
import { uviAt } from '../../../src/light.ts';
import { lightingOf } from '../../../src/light-scene.ts';
import { placesIn } from '../../../src/lit-places.ts';
import { type TestApp, tableRows, textOf, textsOf } from '../../support/app.ts';
import { appWithSnake, enter, placeThing } from '../../support/collection.ts';

const tube = {
  name: 'T5 UV-B tube, 24 W',
  fittedOn: '2026-01-01',
  lifeMonths: '12',
  renewalPrice: '',
  watts: '24',
  hoursPerDay: '12',
  lampUvi: '3',
  lampAt: '30 cm',
  litLength: '55 cm',
  distance: '',
  mesh: '1',
  whenBoxReplaced: 'moves',
};
const thing = { fittedOn: '2025-07-01', whenBoxReplaced: 'moves' };

/** A closed box of 90 x 45 x 60 cm: a tube under the roof, a basking place under it, a hide in which no light comes. */
async function lit(): Promise<TestApp> {
  const app = await appWithSnake({ enclosure: { height: '60', top: 'closed' } });
  await enter(app, '/enclosures/1/fittings/new?kind=uv-tube', tube);
  await enter(app, '/enclosures/1/fittings/new?kind=basking-place', { ...thing, name: 'Slate' });
  await enter(app, '/enclosures/1/fittings/new?kind=hide', { ...thing, name: 'Cork', place: 'cool' });
  placeThing(app, 1, { xMm: 450, yMm: 225, zMm: 550 });
  placeThing(app, 2, { xMm: 300, yMm: 225, zMm: 0, lengthMm: 250, depthMm: 200, heightMm: 150 });
  placeThing(app, 3, { xMm: 750, yMm: 225, zMm: 0, lengthMm: 200, depthMm: 150, heightMm: 100 });
  return app;
}

/** The first drawing's box as it stands in the SVG, in drawing units. */
function boxOf(svg: NonNullable<ReturnType<typeof drawingsOf>[number]>) {
  const outline = svg.querySelector('.box-outline')!;
  const number = (name: string) => Number(outline.getAttribute(name));
  return { x: number('x'), y: number('y'), width: number('width'), height: number('height') };
}

const drawingsOf = (page: Awaited<ReturnType<TestApp['get']>>) => [
  ...page.document.querySelectorAll('.enclosure-drawing svg'),
];

test('With nothing entered the page says what to enter first and where', async () => {
  const app = await appWithSnake();
  const page = await app.get('/enclosures/1/light');
  expect(page.status).toBe(200);
  expect(textOf(page)).toContain('No UV lamp is entered, so the UV index is 0 everywhere.');
  const links = [...page.document.querySelectorAll('.reason-list a')].map((one) => one.getAttribute('href'));
  expect(links).toEqual(['/enclosures/1/fittings/new?kind=uv-tube', '/enclosures/1/fittings/new?kind=basking-place']);
  expect((await app.get('/enclosures/9/light')).status).toBe(404);
});

test('A lamp that hangs nobody knows where is asked for, and the box is drawn without light', async () => {
  const app = await appWithSnake();
  await enter(app, '/enclosures/1/fittings/new?kind=uv-tube', tube);
  const page = await app.get('/enclosures/1/light');
  expect(textOf(page)).toContain('Say where “T5 UV-B tube, 24 W” hangs.');
  expect(page.document.querySelector('a[href="/enclosures/1/fittings/1/place"]')).not.toBeNull();
  expect(drawingsOf(page)).toHaveLength(2);
  expect(textsOf(page, '.contour-text')).toEqual([]);
});

test('Each numbered line stands where the light has that UV index', async () => {
  const app = await lit();
  const page = await app.get('/enclosures/1/light');
  const [section, plan] = drawingsOf(page);
  const scene = lightingOf({
    box: { lengthMm: 900, depthMm: 450, heightMm: 600, top: 'closed' },
    fittings: [1, 2, 3].map((id) => findFitting(app.db, id)!),
    on: '2026-01-15' as never,
  });
  if (scene.status !== 'lit') throw new Error('the box should be lit');
  let [checked, mild] = [0, 0];
  for (const [svg, view] of [
    [section!, 'section'],
    [plan!, 'plan'],
  ] as const) {
    const { x, y, width, height } = boxOf(svg);
    expect(width / height).toBeCloseTo(view === 'section' ? 900 / 600 : 900 / 450, 1);
    for (const label of svg.querySelectorAll('.contour-text')) {
      const across = ((Number(label.getAttribute('x')) - x) / width) * 900;
      const up = (y + height - Number(label.getAttribute('y'))) / height;
      const at =
        view === 'section' ? { xMm: across, yMm: 225, zMm: up * 600 } : { xMm: across, yMm: up * 450, zMm: 180 };
      const upMm = view === 'section' ? 600 : 450;
      const level = Number(textOf(label));
      // The value is right there, or is passed within 10 mm: half a step of the grid, where the light changes steeply.
      const around = [-10, 0, 10].flatMap((dx) =>
        [-10, 0, 10].map((dv) => {
          const near = { ...at, xMm: at.xMm + dx, [view === 'section' ? 'zMm' : 'yMm']: up * upMm + dv };
          return uviAt(scene.fresh, near, scene.solids).aimed;
        }),
      );
      const [low, high] = [Math.min(...around), Math.max(...around)];
      const says = `${level} in the ${view} at ${JSON.stringify(at)}, where ${low} to ${high} is found`;
      expect(low, says).toBeLessThanOrEqual(level * 1.03);
      expect(high, says).toBeGreaterThanOrEqual(level * 0.97);
      const inside = scene.solids.filter(
        ({ fromX, toX, fromY, toY, fromZ, toZ }) =>
          fromX < at.xMm && at.xMm < toX && fromY < at.yMm && at.yMm < toY && fromZ < at.zMm && at.zMm < toZ,
      );
      expect(inside, says).toEqual([]);
      if (high < 1.2 * low) mild += 1;
      checked += 1;
    }
  }
  expect(checked).toBeGreaterThan(5);
  expect(mild).toBeGreaterThan(2);
});

test('The table holds the figures of the model, and the drawing is one well-formed piece of SVG', async () => {
  const app = await lit();
  const page = await app.get('/enclosures/1/light');
  const scene = lightingOf({
    box: { lengthMm: 900, depthMm: 450, heightMm: 600, top: 'closed' },
    fittings: [1, 2, 3].map((id) => findFitting(app.db, id)!),
    on: '2026-01-15' as never,
  });
  if (scene.status !== 'lit') throw new Error('the box should be lit');
  const slate = placesIn(scene).find((one) => one.kind === 'basking-place')!;
  const rows = tableRows(page, 'UV index at the animal’s back');
  expect(rows.map((one) => one[0])).toEqual(['Slate', 'Cork']);
  expect(rows[0]![1]).toContain(String(Number(slate.fresh.aimed.toFixed(1))));
  expect(rows[1]).toEqual(['Cork', '0', '0', expect.stringMatching(/ cm$/), 'hidden']);
  expect(textOf(page)).toContain('Yes: in “Cork”');
  expect(textOf(page)).toContain('lightly validated');
  for (const svg of page.body.match(/<svg viewBox[\s\S]*?<\/svg>/g)!) {
    const open: string[] = [];
    for (const [, close, name, self] of svg.matchAll(/<(\/?)([a-z]+)(?:\s+[a-zA-Z-]+="[^"<]*")*\s*(\/?)>/g)) {
      if (close === '/') expect(open.pop()).toBe(name);
      else if (self !== '/') open.push(name!);
    }
    expect(open).toEqual([]);
    expect(svg).not.toMatch(/NaN|Infinity|undefined/);
    expect(svg.match(/</g)!.length).toBe([...svg.matchAll(/<\/?[a-z]+(?:\s+[a-zA-Z-]+="[^"<]*")*\s*\/?>/g)].length);
  }
});

test('The drawing hatches what no lamp reaches, and says inches to a keeper of inches', async () => {
  const app = await lit();
  const page = await app.get('/enclosures/1/light');
  expect(page.document.querySelector('path.shade')?.getAttribute('fill')).toBe('url(#hatch)');
  expect(textsOf(page, '.enclosure-drawing .chart-text')).toContain('90 cm');
  expect(changeLedger(app.db, readLedger(app.db).version, { unitSystem: 'imperial' })).toBe('saved');
  expect(textsOf(await app.get('/enclosures/1/light'), '.enclosure-drawing .chart-text')).toContain('35.4 in');
});

test('A reading wins over the model, and what contradicts it says which is doubted and why', async () => {
  const app = await lit();
  await enter(app, '/enclosures/1/readings/new?kind=uvi-basking', {
    evidence: 'measured',
    value: '9',
    takenOn: '2026-01-10',
    hour: '',
    room: '',
    instrument: 'meter',
    accuracy: '',
    notes: '',
  });
  const page = await app.get('/enclosures/1/light');
  expect(textOf(page)).toMatch(
    /At “Slate” UVI 9 was read, but .* is computed\. Doubted is the reading: new, bare lamps/,
  );
  const rows = tableRows(page, 'UV index at the animal’s back');
  expect(rows[0]![1]).toMatch(/9/);
});

test('What cannot be is said with a way to mend it, and no drawing pretends otherwise', async () => {
  const app = await lit();
  placeThing(app, 2, { xMm: 850, yMm: 225, zMm: 0, lengthMm: 250, depthMm: 200, heightMm: 150 });
  const page = await app.get('/enclosures/1/light');
  expect(textOf(page)).toContain('“Slate” stands 7.5 cm out of the box at the left or right wall');
  expect(page.document.querySelector('a[href="/enclosures/1/fittings/2/place"]')).not.toBeNull();
  expect(drawingsOf(page)).toEqual([]);
});

test('Markup in a name is shown as it was typed', async () => {
  const app = await lit();
  const { id: _, removedOn: _removed, version, ...row } = findFitting(app.db, 2)!;
  changeFitting(app.db, 2, version, { ...row, name: '<b>Slate</b>' });
  const page = await app.get('/enclosures/1/light');
  expect(page.body).not.toContain('<b>');
  expect(page.body).toContain('&lt;b&gt;Slate');
});

test('The page with two lamps is answered in under 100 ms', async () => {
  const app = await lit();
  await enter(app, '/enclosures/1/fittings/new?kind=uv-tube', { ...tube, name: 'Second tube' });
  placeThing(app, 4, { xMm: 450, yMm: 100, zMm: 540 });
  const { lamp } = findFitting(app.db, 4)!;
  expect(lamp).toEqual(lampOf(550, 300, 3, { reflector: 'unknown' }));
  const taken: { wall: number; worked: number }[] = [];
  for (let time = 0; time < 16; time += 1) {
    const [start, before] = [performance.now(), process.cpuUsage()];
    expect((await app.app.inject({ method: 'GET', url: '/enclosures/1/light' })).statusCode).toBe(200);
    const { user, system } = process.cpuUsage(before);
    if (time >= 6) taken.push({ wall: performance.now() - start, worked: (user + system) / 1000 });
  }
  const least = (of: 'wall' | 'worked') => Math.min(...taken.map((one) => one[of]));
  console.info(
    `the light page took ${least('worked').toFixed(1)} ms of work, ${least('wall').toFixed(1)} ms by the clock`,
  );
  // Other tests keep the machine busy meanwhile, so the work of this process counts, at its best of several.
  expect(Math.min(least('worked'), least('wall'))).toBeLessThan(100);
});

test('No number of the drawings stands on another, on a lamp or on a wall', async () => {
  const app = await lit();
  await enter(app, '/enclosures/1/fittings/new?kind=basking-lamp', { ...thing, name: 'Spot' });
  await enter(app, '/enclosures/1/fittings/new?kind=perch', { ...thing, name: 'Branch' });
  placeThing(app, 5, { xMm: 500, yMm: 150, zMm: 250, lengthMm: 400, depthMm: 40, heightMm: 30 });
  const drawings: ReturnType<typeof drawingsOf> = [];
  for (const xMm of [150, 300, 450, 600]) {
    for (const zMm of [480, 575]) {
      placeThing(app, 4, { xMm, yMm: 225, zMm });
      drawings.push(...drawingsOf(await app.get('/enclosures/1/light')));
    }
  }
  let checked = 0;
  for (const svg of drawings) {
    const texts = [...svg.querySelectorAll('.contour-text, .thing-number')].map((one) => {
      const [x, y] = [Number(one.getAttribute('x')), Number(one.getAttribute('y'))];
      const wide = textOf(one).length * 6;
      const anchor = one.getAttribute('text-anchor');
      const left = anchor === 'start' ? x : anchor === 'end' ? x - wide : x - wide / 2;
      return { text: textOf(one), left, right: left + wide, top: y - 5, bottom: y + 5 };
    });
    const lamp = /^M([\d.]+) ([\d.]+)H([\d.]+)$/.exec(svg.querySelector('path.lamp')!.getAttribute('d')!)!;
    const line = { left: Number(lamp[1]), right: Number(lamp[3]), top: Number(lamp[2]), bottom: Number(lamp[2]) };
    const box = boxOf(svg);
    for (const [place, one] of texts.entries()) {
      for (const other of [...texts.slice(place + 1), { ...line, text: 'the lamp' }]) {
        const apart =
          one.right <= other.left || other.right <= one.left || one.bottom <= other.top || other.bottom <= one.top;
        expect(apart, `${one.text} and ${other.text}`).toBe(true);
      }
      if (/^[\d.]+$/.test(one.text)) expect(one.bottom).toBeLessThan(box.y + box.height);
      checked += 1;
    }
  }
  expect(checked).toBeGreaterThan(120);
});

test('The page of the enclosure draws the box with what is placed in it, by its numbers, and names what is not', async () => {
  const app = await lit();
  await enter(app, '/enclosures/1/fittings/new?kind=perch', { ...thing, name: 'Branch' });
  const page = await app.get('/enclosures/1');
  expect(textsOf(page, '.enclosure-drawing .thing-number')).toEqual(['(1)', '(2)', '(3)']);
  expect(textOf(page.document.querySelector('.enclosure-drawing figcaption'))).toBe(
    'Seen from the front, to scale: (1) T5 UV-B tube, 24 W, (2) Slate, (3) Cork. Not drawn, since nobody said where: Branch.',
  );
});
