// README and DEVELOPERS against the code: what they name exists, and what exists and matters is named.

import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { settings } from '../server/config.ts';

const root = join(import.meta.dirname, '..');
const read = (name: string) => readFileSync(join(root, name), 'utf8');
const readme = read('README.md');
const developers = read('DEVELOPERS.md');
const manifest = JSON.parse(read('package.json')) as {
  scripts: Record<string, string>;
  dependencies: Record<string, string>;
  devDependencies: Record<string, string>;
};

test('every script that the documents name exists, and each is named in DEVELOPERS', () => {
  const named = [...`${readme}\n${developers}`.matchAll(/npm (?:run (?:-s )?([a-z]+)|(start|test))/g)].map(
    (match) => match[1] ?? match[2]!,
  );
  expect(named.length).toBeGreaterThan(8);
  for (const name of named) expect(Object.keys(manifest.scripts)).toContain(name);
  for (const name of Object.keys(manifest.scripts)) expect(named, `npm script ${name}`).toContain(name);
});

test('every path that the documents name exists', () => {
  const named = [
    ...`${readme}\n${developers}`.matchAll(/`((?:src|server|views|migrations|seed|tests|\.ci)\/[\w./-]*)`/g),
  ].map((match) => match[1]!);
  expect(named.length).toBeGreaterThan(40);
  for (const path of named) expect(existsSync(join(root, path)), path).toBe(true);
});

test('every row of what is met of ASVS names a test that shows it', () => {
  const begin = developers.indexOf('## What of OWASP ASVS');
  const section = developers.slice(begin, developers.indexOf('\n## ', begin + 1));
  const rows = [...section.matchAll(/^\| (\d[^|]*) \| ([^|]*) \|/gm)];
  expect(rows.length).toBeGreaterThan(9);
  for (const [, chapter, met] of rows) expect(met, chapter).toMatch(/`tests\/[\w/-]+\.test\.ts`/);
});

test('every domain file is on the map', () => {
  for (const name of readdirSync(join(root, 'src'))) expect(developers, name).toContain(`\`src/${name}\``);
});

test('every package has a line that says why it is here, and no other is named', () => {
  const packages = Object.keys({ ...manifest.dependencies, ...manifest.devDependencies });
  const section = developers.slice(developers.indexOf('## Packages'), developers.indexOf('## House style'));
  for (const name of packages) expect(section, name).toContain(`\`${name}\``);
  const listed = [...section.matchAll(/^\| (`.*?) \|/gm)].flatMap((line) =>
    [...line[1]!.matchAll(/`([^`]+)`/g)].map((match) => match[1]!),
  );
  for (const name of listed) expect(packages).toContain(name);
});

test('every setting is explained in DEVELOPERS', () => {
  const table = developers.slice(developers.indexOf('## Settings'), developers.indexOf('## Tests'));
  for (const { name } of settings) expect(table).toContain(`\`${name}\``);
  expect(settings.length).toBeGreaterThanOrEqual(3);
});

test('the top level holds the agreed entries and nothing else', () => {
  const agreed = [
    'README.md',
    'DEVELOPERS.md',
    'package.json',
    'package-lock.json',
    'tsconfig.json',
    'server',
    'views',
    'migrations',
    'src',
    'tests',
    'seed',
  ];
  const there = readdirSync(root).filter((name) => !name.startsWith('.') && name !== 'node_modules' && name !== 'data');
  expect(there.sort()).toEqual(agreed.sort());
});

test('no document holds a placeholder for what was to be written', () => {
  const named = ['CHROMIUM_PATH', ...settings.map((one) => one.name)];
  for (const text of [readme, developers])
    expect(
      text
        .replace(/```ini[^`]*```/g, '')
        .match(/\b[A-Z]+_[A-Z_]+\b/g)
        ?.filter((word) => !named.includes(word)) ?? [],
    ).toEqual([]);
});

test('The pictures of the README are there, each says what it shows, and none is over 60 kB', () => {
  const pictures = [...readme.matchAll(/<img src="([^"]+)" width="\d+" alt="([^"]{20,})">/g)];
  expect(pictures.length).toBe(readme.split('<img').length - 1);
  expect(pictures.length).toBeGreaterThanOrEqual(2);
  for (const [, path] of pictures) expect(statSync(join(root, path!)).size, path).toBeLessThan(60_000);
  const kept = readdirSync(join(root, 'views/guide')).filter((name) => name.endsWith('.webp'));
  expect(pictures.map(([, path]) => path!.split('/').at(-1)).sort()).toEqual(kept.sort());
});

test('What the README counts is what there is, and the first plan is held to its fields by a test', () => {
  const [, species] = /Care targets of (\d+) species/.exec(readme)!;
  expect(readdirSync(join(root, 'seed/species')).length).toBe(Number(species));
  expect(readme).toContain('two animals to a first plan within forty fields');
  expect(read('tests/browser/first-run.test.ts')).toContain('LONGEST_WAY = { fields: 40,');
});
