import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { paths } from '../../../server/paths.ts';
import { startApp, textOf } from '../../support/app.ts';

const manifest = JSON.parse(readFileSync(new URL('../../../package.json', import.meta.url), 'utf8')) as {
  version: string;
};

test('The health check says ok while the ledger answers and fails when it does not, in a word that tells nothing', async () => {
  const { app, db } = await startApp();
  const well = await app.inject({ method: 'GET', url: paths.health });
  expect([well.statusCode, well.body, well.headers['cache-control']]).toEqual([200, 'ok\n', 'no-store']);
  expect((await app.inject({ method: 'HEAD', url: paths.health })).statusCode).toBe(200);
  db.$client.close();
  const ill = await app.inject({ method: 'GET', url: paths.health });
  expect([ill.statusCode, ill.body]).toEqual([503, 'the ledger does not answer\n']);
});

test('The health check answers only under the names of this computer', async () => {
  const { app } = await startApp();
  expect(
    (await app.inject({ method: 'GET', url: paths.health, headers: { host: 'elsewhere.example' } })).statusCode,
  ).toBe(421);
});

test('The page about the program names its version', async () => {
  const { get } = await startApp();
  expect(textOf(await get(paths.about))).toContain(`This is version ${manifest.version} of the program.`);
});
