import { expect, test } from 'vitest';
import { publicUrl, readConfig, settings } from '../../server/config.ts';

test('An empty environment gives a ledger on this computer only', () => {
  expect(readConfig({})).toEqual({ status: 'ok', config: { host: '127.0.0.1', port: 4380, dataDir: './data' } });
  expect(readConfig({ HOST: '', PORT: ' ', DATA_DIR: '' })).toEqual(readConfig({}));
});

test('Each setting has a sentence that says what it does', () => {
  expect(settings.map((setting) => setting.name)).toEqual(['HOST', 'PORT', 'DATA_DIR']);
  for (const setting of settings) expect(setting.sentence).toMatch(/^The .{20,}\.$/);
});

test.each(['0.0.0.0', '192.168.1.20', '::', 'example.org', '127.0.0.1.example.org', '127.0.0.2'])(
  'HOST %s is refused, because the ledger has no password',
  (host) => {
    const read = readConfig({ HOST: host });
    expect(read.status).toBe('bad');
    if (read.status === 'bad') expect(read.problems).toEqual([expect.stringContaining(`HOST is "${host}"`)]);
  },
);

test.each(['127.0.0.1', '::1', 'localhost'])('HOST %s is this computer and is taken', (host) => {
  expect(readConfig({ HOST: host })).toMatchObject({ status: 'ok', config: { host } });
});

test.each(['-1', '65536', '4380x', '4.5', '1e3', '0x10'])('PORT %s is refused', (port) => {
  expect(readConfig({ PORT: port })).toMatchObject({
    status: 'bad',
    problems: [expect.stringContaining('0 to 65535')],
  });
});

test('Every setting at fault gets its own sentence', () => {
  expect(readConfig({ HOST: '0.0.0.0', PORT: 'x', DATA_DIR: 'a\0b' })).toMatchObject({
    status: 'bad',
    problems: { length: 3 },
  });
});

test('The address of an IPv6 host is written in brackets, as RFC 3986 section 3.2.2 asks', () => {
  expect(publicUrl('::1', 4380)).toBe('http://[::1]:4380/');
  expect(publicUrl('127.0.0.1', 80)).toBe('http://127.0.0.1:80/');
});
