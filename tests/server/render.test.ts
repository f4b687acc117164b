import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import Handlebars from 'handlebars';
import { expect, onTestFinished, test } from 'vitest';
import { readAssets } from '../../server/assets.ts';
import { loadViews } from '../../server/render.ts';
import { menuChapters, menuWords } from '../../server/words.ts';

const frame = { title: 'A page', current: null } as const;
const occasion = { reader: 'anyone', notice: null, path: '/', asOf: null } as const;

function viewsOf(templates: Record<string, string>) {
  const folder = mkdtempSync(join(tmpdir(), 'views-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  const all: Record<string, string> = {
    'layout.hbs': '<title>{{title}}</title>{{body}}',
    'partials/none.hbs': '',
    'pages/page.hbs': '',
    'guide/chapter.hbs': '',
    ...templates,
  };
  for (const [name, text] of Object.entries(all)) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), text);
  }
  return loadViews(readAssets(), folder);
}

test('What is written is escaped, so that text can never become markup', () => {
  const views = viewsOf({ 'pages/page.hbs': '<p title="{{text}}">{{text}}</p>' });
  const html = views.write('page', { text: `"><script>alert('x')</script>` }, frame, occasion);
  expect(html).toContain('<p title="&quot;&gt;&lt;script&gt;alert(&#x27;x&#x27;)&lt;/script&gt;">');
  expect(html).not.toContain('<script>');
});

test('The title of the document names the page, then the product, and says first that a form was not saved', () => {
  const views = viewsOf({});
  expect(views.write('page', {}, frame, occasion)).toContain('<title>A page – Basking Ledger</title>');
  expect(views.write('page', {}, { ...frame, status: 422 }, occasion)).toContain(
    '<title>Not saved: A page – Basking Ledger</title>',
  );
});

test.each([
  '{{missing}}',
  '{{#if missing}}x{{/if}}',
  '{{#unless missing}}x{{/unless}}',
  '{{#each missing}}x{{/each}}',
  '{{#with missing}}x{{/with}}',
  '{{#if a.b}}x{{/if}}',
])('A field that the view model lacks is an error in %s', (template) => {
  const views = viewsOf({ 'pages/page.hbs': template });
  expect(() => views.write('page', { a: {} }, frame, occasion)).toThrow();
});

test('A partial sees only the fields it is given, and a missing one is an error', () => {
  const views = viewsOf({
    'partials/row.hbs': '<b>{{label}}</b>',
    'pages/page.hbs': '{{#each rows}}{{> row}}{{/each}}',
  });
  expect(views.write('page', { rows: [{ label: 'One' }, { label: 'Two' }] }, frame, occasion)).toContain(
    '<b>One</b><b>Two</b>',
  );
  expect(() => views.write('page', { rows: [{}] }, frame, occasion)).toThrow('label');
});

test.each([
  ['{{{text}}}', 'writes text without escaping it'],
  ['{{&text}}', 'writes text without escaping it'],
  ['{{> nowhere}}', 'uses the partial nowhere, which does not exist'],
  ['{{> (chosen)}}', 'chooses a partial while running'],
  ['{{#> nowhere}}x{{/nowhere}}', 'uses the partial nowhere, which does not exist'],
  ['{{#if a}}', 'cannot be read'],
  ['{{shout text}}', 'uses the helper shout, which does not exist'],
  ['{{#shout text}}{{/shout}}', 'uses the helper shout, which does not exist'],
  ['{{> (lookup this text)}}', 'chooses a partial while running'],
])('No template is shown that holds %s', (template, reason) => {
  const page = viewsOf({ 'pages/page.hbs': template });
  for (const show of [() => page.readThrough(), () => page.write('page', { text: '', a: true }, frame, occasion)]) {
    expect(show).toThrow(reason);
    // Nor at the second time of asking.
    expect(show).toThrow(reason);
  }
  const part = viewsOf({ 'pages/page.hbs': '{{> part}}', 'partials/part.hbs': template });
  for (let time = 0; time < 2; time += 1)
    expect(() => part.write('page', { text: '', a: true }, frame, occasion)).toThrow(reason);
  expect(() => viewsOf({ 'partials/part.hbs': template }).readThrough()).toThrow(reason);
});

test('A page without a template is an error', () => {
  expect(() => viewsOf({}).write('elsewhere', {}, frame, occasion)).toThrow(
    'there is no template views/pages/elsewhere.hbs',
  );
});

const own = loadViews(readAssets());

test('Every template that ships can be shown', () => {
  own.readThrough();
  expect(own.pages.length).toBeGreaterThan(50);
});

test.each([
  ['/about', null, 'page', 'About the score'],
  ['/roadmap/7', 'roadmap', 'true', 'Roadmap'],
  ['/months', 'money', 'page', 'Months'],
] as const)(
  'At %s the menu holds every place in the same order, and marks the one %s is part of',
  (path, current, how, label) => {
    const html = own.write(
      'error',
      { heading: 'H', sentence: 'S.', typed: [], requestId: null },
      { title: 'About', current },
      { notice: 'Saved.', path, asOf: 'As of 1 May 2026', reader: 'anyone' },
    );
    const labels = [...html.matchAll(/<li><a href="[^"]*"[^>]*>([^<]*)<\/a><\/li>/g)].map((one) => one[1]);
    expect(labels).toEqual(menuChapters.flatMap(({ places }) => places.map((one) => menuWords[one])));
    expect([...labels].sort()).toEqual(Object.values(menuWords).sort());
    expect(html.match(/aria-current="\w+">[^<]*/g)).toEqual([`aria-current="${how}">${label}`]);
    expect(html).toContain(`<span class="menu-here">${label}</span>`);
    expect(html).toContain('<p class="notice">Saved.</p>');
    expect(html).toContain('As of 1 May 2026');
  },
);

test('Every template of the program becomes code', () => {
  const folder = join(import.meta.dirname, '../../views');
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((one) => one.endsWith('.hbs'));
  expect(files.length).toBeGreaterThan(50);
  for (const file of files) {
    const source = readFileSync(join(folder, file), 'utf8');
    expect(() => Handlebars.precompile(source, { strict: true, knownHelpersOnly: true }), file).not.toThrow();
  }
});
