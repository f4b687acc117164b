// The commands in README, DEVELOPERS and the guide: each is run by the test of its program with the same options, or is on a short list of
// those that no test may run, with the reason. What stands in console blocks is run word by word by tests/step-by-step.test.ts.

import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';

const root = join(import.meta.dirname, '..');
const read = (name: string) => readFileSync(join(root, name), 'utf8');
const documents = [
  'README.md',
  'DEVELOPERS.md',
  ...readdirSync(join(root, 'views/guide'))
    .filter((name) => name.endsWith('.hbs'))
    .map((name) => `views/guide/${name}`),
];
const { scripts } = JSON.parse(read('package.json')) as { scripts: Record<string, string> };

/** Every command of a text: lines of its sh blocks and what it sets in code, one by one, without comments. */
function commandsIn(text: string): string[] {
  const blocks = [...text.matchAll(/```sh\n([\s\S]*?)```/g)].flatMap((block) => block[1]!.trim().split('\n'));
  const within = [
    ...text.replace(/```[\s\S]*?```/g, '').matchAll(/(?:`|<code>)((?:[A-Z_]+=\S+ )*(?:npm|npx|node|sudo) [^`<]+)/g),
  ];
  return [...blocks, ...within.map((one) => one[1]!)]
    .flatMap((line) => line.replace(/\s+#.*$/, '').split(' && '))
    .map((command) => command.trim());
}

/** Commands that a test of their own runs, with the same options. */
const ranElsewhere: Readonly<Record<string, string>> = {
  'npm start': 'tests/server/main.test.ts',
  'npm run demo': 'tests/server/main.test.ts',
  'npm run prepare': 'tests/server/start.test.ts',
  'npm run plan -- CASE.json': 'tests/server/plan-cli.test.ts',
  'npm run password': 'tests/server/password-cli.test.ts',
  'HOST=0.0.0.0 npm start': 'tests/server/main.test.ts',
  'npm run roadmap': 'tests/server/roadmap-cli.test.ts',
  'npm run roadmap -- --demo': 'tests/server/roadmap-cli.test.ts',
  'npm run roadmap -- --json': 'tests/server/roadmap-cli.test.ts',
  'npm run export': 'tests/server/ledger-file-cli.test.ts',
  'npm run export -- --out FILE': 'tests/server/ledger-file-cli.test.ts',
  'npm run import -- FILE': 'tests/server/ledger-file-cli.test.ts',
  'npm run backup': 'tests/server/backup-cli.test.ts',
  'npm run restore -- FILE': 'tests/server/backup-cli.test.ts',
  'npm run restore -- FILE --replace': 'tests/server/backup-cli.test.ts',
  'npm run doctor': 'tests/server/backup-cli.test.ts',
};

/** Commands that no test may run, and why not. */
const notRun: Readonly<Record<string, string>> = {
  'npm ci': 'replaces the packages that the tests stand on; .ci/run does it first',
  'npm test': 'is what runs this',
  'npm run check': 'holds npm test',
  'npx tsc --noEmit': 'is a part of npm run check',
  'npm run dev': 'never ends; it is npm run demo with another starter',
  'ORIGIN=https://ledger.example TRUSTED_PROXY=127.0.0.1 npm start':
    'wants a proxy; tests/server/gate.test.ts and tests/server/config.test.ts set both',
  'sudo -u basking DATA_DIR=/var/lib/basking-ledger npm run doctor':
    'wants an account of its own; tests/step-by-step.test.ts runs npm run doctor',
  'npm run bench': 'takes minutes; tests/bench/bench.test.ts has the short version',
  'npm run fuzz': 'takes minutes; tests/hostile is its short version',
  'npm run weigh': 'takes minutes; tests/server/page-times.test.ts has the short version',
  'npm run sweep': 'takes ten minutes; tests/browser/pages.test.ts is its short version',
  "npm run sweep -- 'dark 360' letters": 'takes minutes; tests/browser/pages.test.ts is its short version',
  'npm run load': 'takes minutes; tests/bench/load.test.ts has the short version',
  'npm run load -- --ledger demo-5-years':
    'lives five years through first; tests/bench/load.test.ts has the short version',
  'npm run crash -- --kills 200': 'takes twenty minutes; tests/server/crash.test.ts has the short version',
  'npm run dump': 'writes into tests/; tests/server/db/schema-history.test.ts reads what it wrote',
  'npm run guide': 'writes into server/; tests/server/pages/guide-year.test.ts is what it runs',
  'npm run pictures': 'writes into views/; tests/docs.test.ts looks at what it wrote',
};

const named = new Map<string, string[]>();
for (const document of documents)
  for (const command of commandsIn(read(document))) named.set(command, [...(named.get(command) ?? []), document]);

test('Every command of the documents is run, or is left out for a reason', () => {
  const known = [...Object.keys(ranElsewhere), ...Object.keys(notRun)];
  expect([...named.keys()].filter((command) => !known.includes(command))).toEqual([]);
  expect(known.filter((command) => !named.has(command))).toEqual([]);
  expect(named.size).toBeGreaterThan(20);
});

test('A command that is run by a test of its own is run there, with each of its options', () => {
  for (const [command, file] of Object.entries(ranElsewhere)) {
    const name = /npm (?:run )?([a-z]+)/.exec(command)![1]!;
    const program = /(?:server|tests)\/[\w/-]+\.[jt]s/.exec(scripts[name]!)![0];
    const source = read(file);
    expect(source, `${file} runs ${program}`).toContain(program.split('/').at(-1)!);
    for (const option of command.match(/--[a-z]+/g) ?? []) expect(source, `${file} tries ${option}`).toContain(option);
  }
});

test('Every file that stands in for a command that is left out exists', () => {
  for (const reason of Object.values(notRun))
    for (const path of reason.match(/tests\/[\w./-]*\.ts/g) ?? []) expect(() => read(path), path).not.toThrow();
});
