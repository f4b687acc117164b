// How well a figure is known, and where it is from: grades, kinds of source, and what stands beside whatever rests on memory alone.

import type { Cited, Grade, Source, Standing } from '../src/species.ts';
import { percent } from './words.ts';

/** How well a figure is known. */
export const gradeWords: Readonly<Record<Grade, string>> = {
  'tested-on-species': 'tested on this species',
  'studied-nearby': 'studied nearby',
  'agreed-practice': 'agreed practice',
  hearsay: 'hearsay',
};

/** What each grade means. */
export const gradeMeanings: Readonly<Record<Grade, string>> = {
  'tested-on-species': 'controlled work on the species itself',
  'studied-nearby': 'one study, a related species or field data',
  'agreed-practice': 'professionals agree on it',
  hearsay: 'the custom of keepers, or a popular copy',
};

/** What kind of source a figure has. */
export const standingWords: Readonly<Record<Standing, string>> = {
  published: 'published',
  secondary: 'secondary',
  'common-practice': 'common practice, no source',
  'from-memory': 'from memory, check before relying on it',
  'own-source': 'your own entry',
};

/** What each kind of source means. */
export const standingMeanings: Readonly<Record<Standing, string>> = {
  published: 'the publication, or its abstract, was read',
  secondary: 'read in another text that quotes it; look it up before citing it as law',
  'common-practice': 'a rule of the trade that no source was found for',
  'from-memory': 'known, but not read again; do not rely on it before you have checked it',
  'own-source': 'you entered the figure and said where it is from; nobody else checked it',
};

/** Where a figure comes from, in one line without its address. */
export function sourceLine({ title, body, year, section }: Source): string {
  const named = [title, body, year === null || title.includes(String(year)) ? '' : String(year), section];
  return named.filter((part) => part !== '').join('; ');
}

/**
 * How sure a figure is: how well the field knows it, then whether its source could be read, such as 'agreed practice; secondary'. What no
 * source was read for is only said to be known, since 'agreed practice; from memory' would seem to contradict itself.
 */
export function surenessLine({ grade }: Pick<Cited, 'grade'>, { standing }: Pick<Source, 'standing'>): string {
  const isOnlySaid = standing === 'from-memory' && grade !== 'hearsay';
  return `${isOnlySaid ? 'said to be ' : ''}${gradeWords[grade]}; ${standingWords[standing]}`;
}

/** What stands beside whatever rests on a target that is from memory alone. */
export const fromMemoryWords = {
  proposal: 'The target behind it is from memory: check it before you spend on it.',
  effect: 'target from memory, check it first',
  /** How much of a score rests on memory, as a share from 0 to 1. */
  share: (share: number) =>
    share < 0.005
      ? 'Nothing of this score hangs on a target from memory.'
      : `${percent(share)} of the weight of this score hangs on targets from memory: check them before you rely on it.`,
} as const;
