// Every sentence about the password and about signing in: on the pages, in the command that sets it, and when the program starts.

import { formatDate, type PlainDate } from '../src/calendar.ts';
import { IDLE_DAYS, LONGEST_DAYS } from './access.ts';
import type { Device } from './db/access.ts';
import { ADVISED_CHARACTERS, FEWEST_CHARACTERS, type JudgedPassword, MOST_CHARACTERS } from './password.ts';

/** What can be wrong with a password that somebody would like to set. */
export type PasswordFault = Extract<JudgedPassword, { status: 'bad' }>['fault'];

/** Why a password is not taken, and what to do. */
export const passwordFaults: Readonly<Record<PasswordFault, string>> = {
  short: `The password was not changed: it has fewer than ${FEWEST_CHARACTERS} characters. Take ${ADVISED_CHARACTERS} or more, such as four words that have nothing to do with each other.`,
  long: `The password was not changed: it has more than ${MOST_CHARACTERS} characters. Take a shorter one.`,
  common:
    'The password was not changed: it is one of those that are tried first by anyone who guesses. Take another, such as four words that have nothing to do with each other.',
  'control-character':
    'The password was not changed: it holds a character that cannot be typed into a form, such as a tabulator.',
};

/** What the command that sets the password says. */
export const passwordCommand = {
  usage:
    'Usage: npm run password\n' +
    '       npm run password -- --remove\n' +
    'The password is typed when it is asked for, or comes as the one line of standard input. It is never given as an option: options can be read by every program on this computer.',
  ask: `A password of ${ADVISED_CHARACTERS} characters or more (${FEWEST_CHARACTERS} at least; what is typed is not shown): `,
  askAgain: 'The same once more: ',
  different: 'The password was not changed: the two were not the same. Run npm run password again.',
  nothing: 'The password was not changed: nothing was typed.',
  moreLines: 'The password was not changed: standard input holds more than one line.',
  set: 'The password is set. Whoever was signed in is signed out.',
  isShort: `It is a short one. ${ADVISED_CHARACTERS} characters or more are advised, such as four words.`,
  removed:
    'The password is removed. Whoever uses this computer can open the ledger, and nobody else: start it without HOST, ORIGIN, HOSTS and TRUSTED_PROXY.',
} as const;

/** What a start says of the ways by which others reach the ledger. */
export const programStartSentences = {
  passwordMissing: (reason: string) =>
    `${reason}, so others could read and change the ledger, and no password is set yet. Nothing was started. ` +
    'Set a password with "npm run password" and start again, or leave HOST, ORIGIN, HOSTS and TRUSTED_PROXY away to use the ledger on this computer alone.',
  overPlainHttp:
    'Caution: over plain http, whoever can listen to this network can read the password and the pages on their way. Use it on a home network that you trust; the README says how to use https.',
} as const;

/** The words of the pages. */
export const accessWords = {
  signIn: 'Sign in',
  signOut: 'Sign out',
  password: 'Password',
  passwordHint: 'The one that was set on the computer with npm run password.',
  notSignedIn: 'Not signed in',
  wrong: 'That is not the password of this ledger. Type it again.',
  isReadable:
    'This page came over plain http: somebody who listens to this network can read the password on its way. Sign in on a network that you trust, such as the one at home.',
  tooMany: 'Too many tries',
  tooManySentence: (minutes: number) =>
    `The password was typed wrong too often, here or elsewhere. Wait ${minutes === 1 ? 'a minute' : `${minutes} minutes`}, then try again. Whoever is signed in stays signed in.`,
  busy: 'The ledger is busy',
  busySentence: 'Several people are signing in at this moment. Wait a few seconds, then try again.',
  signedOutMeanwhile: 'Sign in, then send it again',
  signedOutSentence: 'You are not signed in any more, so nothing was saved. What you sent is kept on this page.',
  signInElsewhere: 'Sign in in a new tab',
  thenSend: 'Then come back to this tab and send it.',
  sendAgain: 'Send it again',
  heading: 'Who gets in',
  notAsked:
    'No password is asked for: whoever uses this computer can open the ledger, and no other computer or phone can.',
  howToAsk:
    'To open it on a phone or another computer, or to keep others on this computer out, set a password: stop the program, run “npm run password”, and start it again as the README says.',
  asked: 'Everyone needs the password. To change it, run “npm run password” on the computer; that signs everyone out.',
  lasts: `A sign-in ends when you sign out, when it is not used for ${IDLE_DAYS} days, and after ${LONGEST_DAYS} days in any case.`,
  caption: 'Signed in at present',
  devices: { phone: 'A phone or tablet', computer: 'A computer' } satisfies Record<Device, string>,
  here: 'this one',
  on: (day: PlainDate, locale: string) => formatDate(day, locale),
  endOthers: 'Sign all others out',
} as const;
