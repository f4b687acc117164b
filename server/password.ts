// How a password is judged, kept and held against what was typed: scrypt at the cost that OWASP asks for, one at a time in the whole
// program, since each takes 128 MiB. Nothing else in the program sees a password.

import { createHash, randomBytes, type ScryptOptions, scrypt, timingSafeEqual } from 'node:crypto';
import { readFileSync } from 'node:fs';

/** Fewer characters are refused. ASVS 5.0, 6.2.1. */
export const FEWEST_CHARACTERS = 8;

/** Fewer are taken, with the advice to take more. ASVS 5.0, 6.2.1. */
export const ADVISED_CHARACTERS = 15;

/** More are refused: far above the 64 that ASVS 5.0, 6.2.9 asks to allow, and short enough to be hashed at once. */
export const MOST_CHARACTERS = 256;

/** The cost of one hash: N is 2 to the power of `log2`. */
export type HashCost = { log2: number; blockSize: number; parallel: number };

/** OWASP's password storage cheat sheet: N = 2^17, r = 8, p = 1. */
export const FULL_COST: HashCost = { log2: 17, blockSize: 8, parallel: 1 };

const MOST_MEMORY = 256 * 1024 * 1024;
const HASH_BYTES = 32;
const SALT_BYTES = 16;

// A hundred are tried in a minute; whoever waits behind more than these is told to come back.
const MOST_WAITING = 8;

/** What came of judging a password that somebody would like to set. `isShort` where more characters are advised. */
export type JudgedPassword =
  | { status: 'ok'; isShort: boolean }
  | { status: 'bad'; fault: 'short' | 'long' | 'common' | 'control-character' };

let common: ReadonlySet<string> | null = null;

/** Judges a password by its length and by a list of common ones; which kinds of characters it has does not matter. */
export function judgePassword(password: string): JudgedPassword {
  const length = [...normal(password)].length;
  if (/\p{Cc}/u.test(password)) return { status: 'bad', fault: 'control-character' };
  if (length < FEWEST_CHARACTERS) return { status: 'bad', fault: 'short' };
  if (length > MOST_CHARACTERS) return { status: 'bad', fault: 'long' };
  if (isCommon(normal(password).toLowerCase())) return { status: 'bad', fault: 'common' };
  return { status: 'ok', isShort: length < ADVISED_CHARACTERS };
}

function isCommon(password: string): boolean {
  if (new Set(password).size === 1) return true;
  // The first thing to try on this program.
  if (password.replace(/[^a-z]/g, '') === 'baskingledger') return true;
  common ??= new Set(
    readFileSync(new URL('common-passwords.txt', import.meta.url), 'utf8')
      .split('\n')
      .filter((line) => line !== '' && !line.startsWith('#')),
  );
  return common.has(createHash('sha256').update(password).digest('hex').slice(0, 12));
}

/** The text that is kept of a password: '$scrypt$ln=17,r=8,p=1$salt$hash', with everything that is needed to try another against it. */
export async function hashPassword(password: string, cost: HashCost = FULL_COST): Promise<string> {
  const salt = randomBytes(SALT_BYTES);
  const hash = await inTurn(() => derive(password, salt, cost));
  const { log2, blockSize, parallel } = cost;
  return `$scrypt$ln=${log2},r=${blockSize},p=${parallel}$${salt.toString('base64')}$${hash.toString('base64')}`;
}

/**
 * Whether a typed password is the one that was kept; 'busy' when too many are being tried already. Takes the same time whatever was typed,
 * and where none is kept. Throws a RangeError when what was kept is no hash of ours.
 */
export async function tryPassword(typed: string, kept: string | null): Promise<'right' | 'wrong' | 'busy'> {
  const { salt, hash, cost } = kept === null ? nothingKept() : readHash(kept);
  if (waiting >= MOST_WAITING) return 'busy';
  const derived = await inTurn(() => derive(typed, salt, cost));
  return timingSafeEqual(derived, hash) && kept !== null ? 'right' : 'wrong';
}

function nothingKept() {
  return { salt: Buffer.alloc(SALT_BYTES), hash: Buffer.alloc(HASH_BYTES), cost: FULL_COST };
}

function readHash(kept: string): { salt: Buffer; hash: Buffer; cost: HashCost } {
  const match = /^\$scrypt\$ln=(\d{1,2}),r=(\d{1,2}),p=(\d{1,2})\$([\w+/=]+)\$([\w+/=]+)$/.exec(kept);
  const hash = Buffer.from(match?.[5] ?? '', 'base64');
  if (match === null || hash.length !== HASH_BYTES) throw new RangeError('what is kept of the password is no hash');
  const [log2, blockSize, parallel] = match.slice(1, 4).map(Number) as [number, number, number];
  return { salt: Buffer.from(match[4]!, 'base64'), hash, cost: { log2, blockSize, parallel } };
}

// The same letters may be typed as different characters on another keyboard.
function normal(password: string): string {
  return password.normalize('NFC');
}

function derive(password: string, salt: Buffer, { log2, blockSize, parallel }: HashCost): Promise<Buffer> {
  const options: ScryptOptions = { N: 2 ** log2, r: blockSize, p: parallel, maxmem: MOST_MEMORY };
  return new Promise((resolve, reject) => {
    scrypt(normal(password), salt, HASH_BYTES, options, (problem, hash) => {
      if (problem === null) resolve(hash);
      else reject(problem);
    });
  });
}

let last: Promise<unknown> = Promise.resolve();
let waiting = 0;

function inTurn<Result>(work: () => Promise<Result>): Promise<Result> {
  waiting += 1;
  const result = last.then(work).finally(() => {
    waiting -= 1;
  });
  last = result.catch(() => undefined);
  return result;
}
