import { createHook } from 'node:async_hooks';
import { afterAll, expect, test } from 'vitest';
import { FULL_COST, type HashCost, hashPassword, judgePassword, tryPassword } from '../../server/password.ts';

const cheap: HashCost = { ...FULL_COST, log2: 10 };

// What Node itself says of the hashes under way: each begins with 'init' and has ended at 'after'.
const underWay = { now: 0, most: 0, begun: 0 };
const ids = new Set<number>();
const hook = createHook({
  init: (id, type) => {
    if (type !== 'SCRYPTREQUEST') return;
    ids.add(id);
    underWay.begun += 1;
    underWay.now += 1;
    underWay.most = Math.max(underWay.most, underWay.now);
  },
  after: (id) => {
    if (ids.delete(id)) underWay.now -= 1;
  },
}).enable();
afterAll(() => void hook.disable());

test('A password is tried as RFC 7914 section 12 works its example out', async () => {
  const salt = Buffer.from('SodiumChloride').toString('base64');
  const hash = Buffer.from('7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2', 'hex').toString(
    'base64',
  );
  const kept = `$scrypt$ln=14,r=8,p=1$${salt}$${hash}`;
  expect(await tryPassword('pleaseletmein', kept)).toBe('right');
  expect(await tryPassword('pleaseletmeim', kept)).toBe('wrong');
});

// The figures are those of OWASP's password storage cheat sheet.
test('At full cost a hash says its parameters, and a wrong password takes as long as one where none is kept', async () => {
  const kept = await hashPassword('four words of chance');
  expect(kept).toMatch(/^\$scrypt\$ln=17,r=8,p=1\$[A-Za-z0-9+/]{22}==\$[A-Za-z0-9+/]{43}=$/);
  const spent = async (hash: string | null) => {
    const before = process.cpuUsage();
    expect(await tryPassword('four words of change', hash)).toBe('wrong');
    const { user, system } = process.cpuUsage(before);
    return user + system;
  };
  const ratio = (await spent(null)) / (await spent(kept));
  expect(ratio).toBeGreaterThan(0.4);
  expect(ratio).toBeLessThan(2.5);
});

test('The same password is kept as another text each time, and letters typed otherwise are the same letters', async () => {
  const [first, second] = [
    await hashPassword('vier wörter hier', cheap),
    await hashPassword('vier wörter hier', cheap),
  ];
  expect(first).not.toBe(second);
  for (const kept of [first, second]) {
    expect(await tryPassword('vier wörter hier', kept)).toBe('right');
    expect(await tryPassword('vier wo\u0308rter hier', kept)).toBe('right');
    for (const typed of ['vier worter hier', 'Vier wörter hier', 'vier wörter hier ', '', 'x'.repeat(60_000)])
      expect(await tryPassword(typed, kept), typed.slice(0, 20)).toBe('wrong');
  }
});

test('Of fifty tries at once eight are made, one after the other, and the others are told to come back', async () => {
  const kept = await hashPassword('four words of chance', cheap);
  Object.assign(underWay, { most: 0, begun: 0 });
  const outcomes = await Promise.all(Array.from({ length: 50 }, () => tryPassword('a wrong one', kept)));
  const count = (outcome: string) => outcomes.filter((one) => one === outcome).length;
  expect([count('wrong'), count('busy'), count('right')]).toEqual([8, 42, 0]);
  expect(underWay).toEqual({ now: 0, most: 1, begun: 8 });
  // And afterwards there is room again.
  expect(await tryPassword('four words of chance', kept)).toBe('right');
});

test.each([
  '',
  'four words of chance',
  '$scrypt$ln=17,r=8,p=1$$',
  '$argon2id$v=19$m=1$AAAA$AAAA',
  '$scrypt$ln=17,r=8,p=1$AAAA$AAAA',
])('What is no hash of ours lets nobody in: %j', async (kept) => {
  await expect(tryPassword('four words of chance', kept)).rejects.toThrow(RangeError);
});

test.each([
  ['seven77', 'short'],
  ['ééééééé', 'short'],
  // Seven characters of two code units each.
  ['🦎🦎🦎🦎🦎🦎🐍', 'short'],
  ['password', 'common'],
  ['PassWord', 'common'],
  ['iloveyou', 'common'],
  ['1qaz2wsx', 'common'],
  ['aaaaaaaaaaaa', 'common'],
  ['Basking Ledger 1', 'common'],
  ['x'.repeat(257), 'long'],
  ['eight\tor more', 'control-character'],
  ['eight or \0 more', 'control-character'],
])('%j is refused as %s', (password, fault) => {
  expect(judgePassword(password)).toEqual({ status: 'bad', fault });
});

// No rule asks for capitals, digits or signs, and 64 characters and more are taken (ASVS 5.0, 6.2.1, 6.2.5, 6.2.9).
test.each([
  ['qzvkwmpt', true],
  ['84719305', true],
  ['horse lamp', true],
  ['fourteen chars', true],
  ['fifteen  chars.', false],
  ['four words of chance', false],
  ['🦎🐍🐸🐢🦎🐍🐸🐢', true],
  ['ab'.repeat(32), false],
  ['ab'.repeat(128), false],
])('%j is taken, and called short: %s', (password, isShort) => {
  expect(judgePassword(password)).toEqual({ status: 'ok', isShort });
});
