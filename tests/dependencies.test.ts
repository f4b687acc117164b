// The packages the program is made of: pinned, checked by hash, few, under licences that allow it, and only those run code at installation
// that were chosen to.

import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';

const read = (name: string) => JSON.parse(readFileSync(new URL(`../${name}`, import.meta.url), 'utf8'));
const manifest = read('package.json') as {
  dependencies: Record<string, string>;
  devDependencies: Record<string, string>;
  allowScripts: Record<string, boolean>;
};
type Entry = {
  version: string;
  integrity?: string;
  license?: string;
  dev?: boolean;
  devOptional?: boolean;
  hasInstallScript?: boolean;
};
const lock = read('package-lock.json') as { packages: Record<string, Entry> };
const entries = Object.entries(lock.packages).filter(([path]) => path !== '');
const nameOf = (path: string) => path.slice(path.lastIndexOf('node_modules/') + 'node_modules/'.length);
const atRunTime = entries.filter(([, one]) => one.dev !== true && one.devOptional !== true);

/** Packages that the program needs to run, and all with those that test it: as many as there are, and a few for a new version's parts. */
const MOST_AT_RUN_TIME = 150;
const MOST = 480;

test('Every package of the manifest is one exact version, and every entry of the lock file has a hash', () => {
  const versions = Object.values({ ...manifest.dependencies, ...manifest.devDependencies });
  expect(versions.length).toBeGreaterThan(20);
  expect(versions.filter((one) => !/^\d+\.\d+\.\d+$/.test(one))).toEqual([]);
  expect(entries.length).toBeGreaterThan(200);
  expect(entries.filter(([, one]) => !/^sha512-/.test(one.integrity ?? '')).map(([path]) => path)).toEqual([]);
});

test('There are no more packages than the budget allows', () => {
  console.info(`${atRunTime.length} packages at run time, ${entries.length} with the tests`);
  expect(atRunTime.length).toBeLessThanOrEqual(MOST_AT_RUN_TIME);
  expect(entries.length).toBeLessThanOrEqual(MOST);
});

test('Every package whose installation runs a script was decided on, and none that does not need it may', () => {
  const scripted = [...new Set(entries.filter(([, one]) => one.hasInstallScript).map(([path]) => nameOf(path)))];
  expect(Object.keys(manifest.allowScripts).sort()).toEqual(scripted.filter((one) => one !== 'fsevents').sort());
  // Compiles or fetches its native part; esbuild's script only checks what npm installed, and it works without.
  expect(manifest.allowScripts['better-sqlite3']).toBe(true);
  expect(manifest.allowScripts.esbuild).toBe(false);
});

test('What runs is under licences that ask for no more than their notice, and each is listed in DEVELOPERS.md', () => {
  const developers = readFileSync(new URL('../DEVELOPERS.md', import.meta.url), 'utf8');
  const section = developers.slice(developers.indexOf('### Licences'));
  const licences = [...new Set(atRunTime.map(([, one]) => one.license ?? 'none'))].sort();
  expect(licences.length).toBeGreaterThan(2);
  for (const one of licences) expect(section, one).toContain(`\`${one}\``);
  expect(licences.filter((one) => /GPL|none|UNLICENSED|SSPL/.test(one))).toEqual([]);
});
