import { expect, test } from 'vitest';
import { publicUrl, readConfig, settings } from '../../server/config.ts';

test('An empty environment gives a ledger on this computer only', () => {
  const [origin, isReachedBecause] = [null, null];
  expect(readConfig({})).toEqual({
    status: 'ok',
    config: { host: '127.0.0.1', port: 4380, dataDir: './data', origin, hosts: [], proxies: [], isReachedBecause },
  });
  expect(readConfig({ HOST: '', PORT: ' ', DATA_DIR: '', ORIGIN: ' ', HOSTS: ',' })).toEqual(readConfig({}));
});

test('Each setting has a sentence that says what it does', () => {
  expect(settings.map((setting) => setting.name)).toEqual([
    'HOST',
    'PORT',
    'DATA_DIR',
    'ORIGIN',
    'HOSTS',
    'TRUSTED_PROXY',
  ]);
  for (const setting of settings) expect(setting.sentence).toMatch(/^The .{20,}\.$/);
});

const reasonIn = (environment: Record<string, string>) => {
  const read = readConfig(environment);
  return read.status === 'ok' ? read.config.isReachedBecause : read.problems.join();
};

test.each([
  [{ HOST: '0.0.0.0' }, 'HOST is "0.0.0.0"'],
  [{ HOST: '192.168.1.20' }, 'HOST is "192.168.1.20"'],
  [{ HOST: '::' }, 'HOST is "::"'],
  [{ HOST: 'example.org' }, 'HOST is "example.org"'],
  [{ HOST: '127.0.0.1.example.org' }, 'HOST is "127.0.0.1.example.org"'],
  // Loopback as well, but nothing tells that no container or tunnel leads there.
  [{ HOST: '127.0.0.2' }, 'HOST is "127.0.0.2"'],
  [{ ORIGIN: 'https://ledger.example' }, 'ORIGIN is "https://ledger.example"'],
  [{ HOSTS: 'raspberry.local' }, 'HOSTS is "raspberry.local"'],
  [{ TRUSTED_PROXY: '127.0.0.1' }, 'TRUSTED_PROXY is "127.0.0.1"'],
] as [Record<string, string>, string][])(
  'With %j others reach the ledger, and the reason is named',
  (environment, reason) => {
    expect(reasonIn(environment)).toMatch(new RegExp(`^${reason.replaceAll('.', '\\.')}, `));
  },
);

test.each(['127.0.0.1', '::1', 'localhost'])('HOST %s is this computer alone', (host) => {
  expect(readConfig({ HOST: host })).toMatchObject({ status: 'ok', config: { host, isReachedBecause: null } });
});

test.each([
  [{ HOST: 'http://ledger' }, 'HOST'],
  [{ HOST: '0.0.0.0:80' }, 'HOST'],
  [{ ORIGIN: 'ledger.example' }, 'ORIGIN'],
  [{ ORIGIN: 'https://ledger.example/below' }, 'ORIGIN'],
  [{ ORIGIN: 'https://keeper@ledger.example' }, 'ORIGIN'],
  [{ ORIGIN: 'ftp://ledger.example' }, 'ORIGIN'],
  [{ ORIGIN: 'https://ledger.example/?a=b' }, 'ORIGIN'],
  [{ HOSTS: 'http://ledger' }, 'HOSTS'],
  [{ HOSTS: 'ledger:80' }, 'HOSTS'],
  [{ HOSTS: '*' }, 'HOSTS'],
  [{ TRUSTED_PROXY: 'true' }, 'TRUSTED_PROXY'],
  [{ TRUSTED_PROXY: '127.0.0.1, proxy' }, 'TRUSTED_PROXY'],
] as [Record<string, string>, string][])('%j is refused by its name', (environment, name) => {
  expect(readConfig(environment)).toMatchObject({ status: 'bad', problems: [expect.stringMatching(`^${name} `)] });
});

test('Names are taken in any case and with commas or blanks, and an origin without its last slash', () => {
  expect(
    readConfig({ HOSTS: 'Raspberry.local, ledger,192.168.1.20 fd00::1', ORIGIN: 'HTTPS://Ledger.Example:443/' }),
  ).toMatchObject({
    config: { hosts: ['raspberry.local', 'ledger', '192.168.1.20', '[fd00::1]'], origin: 'https://ledger.example' },
  });
  // A name to listen on is one by which it is opened.
  expect(readConfig({ HOST: 'raspberry.local' })).toMatchObject({ config: { hosts: ['raspberry.local'] } });
});

test.each(['-1', '65536', '4380x', '4.5', '1e3', '0x10'])('PORT %s is refused', (port) => {
  expect(readConfig({ PORT: port })).toMatchObject({
    status: 'bad',
    problems: [expect.stringContaining('0 to 65535')],
  });
});

test('Every setting at fault gets its own sentence', () => {
  expect(readConfig({ HOST: '0.0.0.0/0', PORT: 'x', DATA_DIR: 'a\0b' })).toMatchObject({
    status: 'bad',
    problems: { length: 3 },
  });
});

test('The address of an IPv6 host is written in brackets, as RFC 3986 section 3.2.2 asks', () => {
  expect(publicUrl('::1', 4380)).toBe('http://[::1]:4380/');
  expect(publicUrl('127.0.0.1', 80)).toBe('http://127.0.0.1:80/');
});
