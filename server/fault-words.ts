// What a person sees instead of a page that cannot be shown: a request that fails, a door that is shut, a disk that does not answer, a species
// that is gone. Each says what became of what was sent, and what to do.

import type { StorageFault } from './db/open.ts';

/** What an error page says, by HTTP status: what happened and what to do. */
export const errorPages: Readonly<Record<number, { title: string; sentence: string }>> = {
  400: { title: 'That request could not be read', sentence: 'Check the address and try again. Nothing was changed.' },
  403: {
    title: 'That was sent from somewhere else',
    sentence:
      'Changes are only taken from the pages of this ledger itself. Nothing was changed: open the page here and send it again.',
  },
  404: { title: 'There is no such page', sentence: 'It may have been removed, or the address may be mistyped.' },
  409: { title: 'This was changed meanwhile', sentence: 'Go back, look at what is there now, and try again.' },
  413: {
    title: 'That is too much at once',
    sentence: 'Shorten the longest text and send it again. Nothing was saved.',
  },
  415: { title: 'That kind of file is not taken', sentence: 'Use the form on the page. Nothing was changed.' },
  421: {
    title: 'This ledger does not go by that address',
    sentence: 'Open it at the address it printed when it was started.',
  },
  429: { title: 'Too many tries', sentence: 'Wait a while, then try again.' },
  422: { title: 'That could not be understood', sentence: 'Go back and check what was typed. Nothing was saved.' },
  500: {
    title: 'Something went wrong in the program',
    sentence: 'What you sent was not saved. Go back and try again; what was saved before is still there.',
  },
  503: { title: 'The ledger cannot be used just now', sentence: 'Nothing was changed. Wait a moment, then try again.' },
};

/** What is said where the figures of an animal's species are gone, on a page of its own, on the animal's and where it would stand among others. */
export const unknownSpecies = {
  title: 'The figures of this species are gone',
  sentence:
    'They are no longer part of the ledger, so nothing can be judged by them. Choose another species on the page of the animal, or add this one again on the page of species.',
  ofAnimal: (name: string) =>
    `The figures of this species are no longer part of the ledger. ${name} is kept with everything you entered; its score is unknown and plans leave it out. Choose the species as the ledger now has it, or add this one again.`,
  choose: 'Choose the species',
  amongOthers: 'the figures of its species are no longer part of the ledger; its score is unknown.',
  livesHere: (name: string) =>
    `${name} lives here too. The figures of its species are no longer part of the ledger, so what is said of room, company and warmth leaves it out.`,
} as const;

/** What a person sees where a password is needed and there is none, or where somebody who is not signed in sent more than a form. */
export const shutPages = {
  noPassword: {
    title: 'The ledger is shut',
    sentence:
      'Other computers can reach it, and no password is set. Set one on its computer with npm run password, then open this page again.',
  },
  notSignedIn: {
    title: 'You are not signed in any more',
    sentence: 'Nothing was saved. Sign in in a new tab, then go back in this one and send it again.',
  },
} as const;

/** Pages for a disk or file that fails while the program runs. Each says that nothing was saved, and what to do. */
export const storagePages: Readonly<Record<StorageFault, { title: string; sentence: string }>> = {
  full: {
    title: 'Not saved: the disk is full',
    sentence:
      'Nothing of what you sent was saved; what was saved before is still there. Make room on the disk that holds the ledger, then send it again. The program need not be started again.',
  },
  'read-only': {
    title: 'Not saved: the ledger cannot be written',
    sentence:
      'Nothing of what you sent was saved; what was saved before is still there. Let the program write to the folder of the ledger, then send it again. The program need not be started again.',
  },
  moved: {
    title: 'Not saved: the ledger’s file is not in its place',
    sentence:
      'The file of the ledger was moved, removed or replaced while the program was running, so nothing of what you sent was saved. Put that file back, with the files beside it whose names begin with its own, and send it again. To use another file instead, stop the program first.',
  },
  busy: {
    title: 'Not saved: the ledger is in use',
    sentence:
      'Another program holds the file of the ledger, so nothing of what you sent was saved; what was saved before is still there. End that program, then send it again.',
  },
  damaged: {
    title: 'Not saved: the ledger’s file is damaged',
    sentence:
      'The file of the ledger can no longer be read whole, so nothing of what you sent was saved. Stop the program, keep the damaged file, put a good copy in its place and start again.',
  },
  failing: {
    title: 'Not saved: the disk does not answer as it should',
    sentence:
      'Nothing of what you sent was saved. See that the disk that holds the ledger is there and works, then send it again. If this goes on, stop the program and copy the folder of the ledger to another disk.',
  },
};
