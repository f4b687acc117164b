// Who may import whom, as a list of what is allowed. A file in a place that is not listed may import nothing.

import { readdirSync, readFileSync } from 'node:fs';
import { join, posix } from 'node:path';
import ts from 'typescript';
import { expect, test } from 'vitest';

const root = join(import.meta.dirname, '..');

/** The first rule whose pattern fits a file decides what it may import: files of ours by path, packages by name. */
const rules: { files: RegExp; ours: RegExp; packages: RegExp }[] = [
  { files: /^src\/solver\.ts$/, ours: /^src\//, packages: /^(javascript-lp-solver|highs)$/ },
  { files: /^src\/calendar\.ts$/, ours: /^src\//, packages: /^temporal-polyfill$/ },
  { files: /^src\/[^/]+\.ts$/, ours: /^src\//, packages: /^$/ },
  {
    files: /^server\/db\/[^/]+\.ts$/,
    ours: /^(server\/db|src)\//,
    packages: /^(drizzle-orm(\/.+)?|better-sqlite3|node:.+)$/,
  },
  {
    files: /^server\/pages\/[^/]+\.ts$/,
    ours: /^(server\/(pages|db)\/|server\/(access|paths|page|care|forms|fields|score-bar|enclosure-drawing|scores|words|[a-z]+-words|render|planning|month-record|cap|asking|backups|csv-tables|dated-plan|ledger-file|ledger-differences|version)\.ts$|src\/)/,
    packages: /^(fastify|zod|d3-scale|d3-shape)$/,
  },
  {
    files: /^server\/[^/]+\.ts$/,
    ours: /^(server\/|src\/|seed\/(catalogue|demo|library)\.ts$)/,
    packages: /^(fastify|@fastify\/.+|handlebars|zod|close-with-grace|d3-contour|node:.+)$/,
  },
  // The demonstration plans and closes its months by the program's own means, so that it shows what the program would.
  {
    files: /^seed\/.+\.ts$/,
    ours: /^(seed\/|server\/db\/|server\/(month-record|planning|proposal-words)\.ts$|src\/)/,
    packages: /^(zod|node:.+)$/,
  },
  { files: /^tests\/.+\.ts$/, ours: /^(src|server|seed|tests|migrations)\//, packages: /^/ },
];

/** Within the server, these are for the program's own start and nobody else. */
const onlyFor: { ours: RegExp; files: RegExp }[] = [
  // It is written into one file to be started and killed.
  { ours: /^server\/main\.ts$/, files: /^tests\/support\/warmed-program\.ts$/ },
  { ours: /^server\/app\.ts$/, files: /^(server\/main\.ts|tests\/.*)$/ },
  { ours: /^seed\/demo\.ts$/, files: /^(server\/main\.ts|seed\/.*|tests\/.*)$/ },
  { ours: /^server\/pages\//, files: /^(server\/app\.ts|server\/pages\/.*|tests\/.*)$/ },
];

/** What a file imports, as TypeScript itself sees it: static, dynamic and type-only imports and re-exports. */
function importsOf(text: string): string[] {
  return ts.preProcessFile(text, true, true).importedFiles.map((one) => one.fileName);
}

/** Sentences about the imports of a file that are not allowed; none when all are. */
function violationsOf(file: string, text: string): string[] {
  const rule = rules.find((one) => one.files.test(file));
  return importsOf(text).flatMap((imported) => {
    const ours = imported.startsWith('.') ? posix.join(posix.dirname(file), imported) : null;
    const reserved = ours !== null && onlyFor.some((one) => one.ours.test(ours) && !one.files.test(file));
    const allowed =
      rule !== undefined && !reserved && (ours === null ? rule.packages.test(imported) : rule.ours.test(ours));
    const unclear = ours !== null && !/\.(ts|json|js|css)$/.test(ours);
    return allowed && !unclear ? [] : [`${file} must not import ${ours ?? imported}`];
  });
}

/** What a file uses of the world that only some may: the environment, the clock, chance and the console. */
function worldlyUses(file: string, text: string): string[] {
  const program = /^server\/(main|command|[a-z-]+-cli)\.ts$/;
  const bans: { what: RegExp; where: RegExp; allowed: RegExp }[] = [
    { what: /\bprocess\.env\b/, where: /^(src|server|seed)\//, allowed: program },
    { what: /\bprocess\.exit\b/, where: /^(src|server|seed)\//, allowed: program },
    { what: /\bconsole\./, where: /^(src|server|seed)\//, allowed: program },
    {
      what: /\bnew Date\(\)|\bDate\.now\b|\bTemporal\.Now\b|\bMath\.random\b/,
      where: /^(src|server|seed)\//,
      allowed: program,
    },
    { what: /\bprocess\./, where: /^src\//, allowed: /^$/ },
    // SQL is never put together from values; the names of tables that a file holds are quoted where they are put in.
    { what: /\bsql\.raw\b/, where: /^(server|seed)\//, allowed: /^$/ },
    {
      what: /\b(prepare|exec)\(`[^`]*\$\{(?!quoted\()/,
      where: /^(server|seed)\//,
      allowed: /^server\/db\/migrate\.ts$/,
    },
  ];
  const code = withoutComments(text);
  return bans
    .filter(({ what, where, allowed }) => where.test(file) && !allowed.test(file) && what.test(code))
    .map(({ what }) => `${file} must not use ${what.exec(code)?.[0]}`);
}

function withoutComments(text: string): string {
  return text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|\s)\/\/.*$/gm, '');
}

function ownFiles(): string[] {
  return ['src', 'server', 'seed', 'tests'].flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.ts'))
      .map((name) => `${folder}/${name.replaceAll('\\', '/')}`),
  );
}

test('Every file imports only what its place allows', () => {
  const files = ownFiles();
  for (const folder of ['src/', 'server/', 'server/db/', 'server/pages/', 'tests/']) {
    expect(files.filter((file) => file.startsWith(folder)).length, folder).toBeGreaterThan(0);
  }
  const texts = files.map((file) => [file, readFileSync(join(root, file), 'utf8')] as const);
  expect(texts.reduce((count, [, text]) => count + importsOf(text).length, 0)).toBeGreaterThan(files.length);
  expect(texts.flatMap(([file, text]) => violationsOf(file, text))).toEqual([]);
});

test('Only the program itself reads the environment, the clock or chance, prints or exits', () => {
  const files = ownFiles();
  expect(files.length).toBeGreaterThan(0);
  expect(files.flatMap((file) => worldlyUses(file, readFileSync(join(root, file), 'utf8')))).toEqual([]);
});

test.each([
  ['src/score.ts', "import Fastify from 'fastify';", 'fastify'],
  ['src/score.ts', "import { readFileSync } from 'node:fs';", 'node:fs'],
  ['src/score.ts', "import { findAnimal } from '../server/db/animals.ts';", 'server/db/animals.ts'],
  ['src/score.ts', "import highs from 'highs';", 'highs'],
  ['src/solver.ts', "import { Temporal } from 'temporal-polyfill';", 'temporal-polyfill'],
  ['src/score.ts', "export { z } from 'zod';", 'zod'],
  ['src/score.ts', "const late = await import('better-sqlite3');", 'better-sqlite3'],
  ['src/score.ts', "import type { FastifyReply } from 'fastify';", 'fastify'],
  ['src/score.ts', "import { money } from './money';", 'src/money'],
  ['server/pages/money.ts', "import { eq } from 'drizzle-orm';", 'drizzle-orm'],
  ['server/pages/money.ts', "import Database from 'better-sqlite3';", 'better-sqlite3'],
  ['server/pages/money.ts', "import Handlebars from 'handlebars';", 'handlebars'],
  ['server/pages/money.ts', "import process from 'node:process';", 'node:process'],
  ['server/pages/money.ts', "import { buildApp } from '../app.ts';", 'server/app.ts'],
  ['server/db/money.ts', "import { paths } from '../paths.ts';", 'server/paths.ts'],
  ['server/db/money.ts', "import Fastify from 'fastify';", 'fastify'],
  ['server/render.ts', "import { sql } from 'drizzle-orm';", 'drizzle-orm'],
  ['seed/demo.ts', "import { homePages } from '../server/pages/home.ts';", 'server/pages/home.ts'],
  ['server/forms.ts', "import { startApp } from '../tests/support/app.ts';", 'tests/support/app.ts'],
  ['elsewhere/tool.ts', "import { money } from '../src/money.ts';", 'src/money.ts'],
])('In %s the line %j is found', (file, text, imported) => {
  expect(violationsOf(file, text)).toEqual([`${file} must not import ${imported}`]);
});

test.each([
  ['src/score.ts', 'const today = new Date();', 'new Date()'],
  ['server/db/money.ts', 'const at = Date.now();', 'Date.now'],
  ['server/pages/money.ts', 'if (process.env.CI) {}', 'process.env'],
  ['seed/demo.ts', 'const dice = Math.random();', 'Math.random'],
  ['server/forms.ts', 'console.log(1);', 'console.'],
  ['server/db/money.ts', 'session.run(sql.raw(text));', 'sql.raw'],
  ['server/db/money.ts', `client.exec(\`DELETE FROM x WHERE id = \${id}\`);`, 'exec(`DELETE FROM x WHERE id = $' + '{'],
])('In %s the line %j is found', (file, text, use) => {
  expect(worldlyUses(file, text)).toEqual([`${file} must not use ${use}`]);
  expect(worldlyUses(file, `// ${text}`)).toEqual([]);
});
