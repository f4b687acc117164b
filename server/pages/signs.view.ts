// What the pages show of signs, already in words: the flags that stand first, the weights as a table and a line, and every note.

import { formatDate, type PlainDate } from '../../src/calendar.ts';
import type { Animal } from '../../src/collection.ts';
import { openFlags, restAhead, type Sign, weighings, weightChanges } from '../../src/signs.ts';
import { formatQuantity } from '../../src/units.ts';
import { cautions } from '../caution-words.ts';
import type { AnimalRecord } from '../db/collection.ts';
import type { Ledger } from '../db/ledger.ts';
import type { SignRecord } from '../db/signs.ts';
import { paths } from '../paths.ts';
import {
  fallSentence,
  flagSentence,
  keptBackWords,
  percentWords,
  restSentence,
  signNames,
  signSentences,
  signStateWords,
  signWords,
  weightSentence,
} from '../sign-words.ts';
import { type Chart, weightChart } from './chart.ts';
import { type RemovedList, removedList } from './removed-list.ts';

type Writing = Pick<Ledger, 'locale' | 'currency' | 'unitSystem'>;

/** The flags of some animals as views/partials/flags.hbs draws them. */
export type FlagBoard = {
  heading: string;
  rows: {
    text: string;
    note: string | null;
    advice: string;
    more: string[];
    href: string;
    endedHref: string;
    whose: string;
  }[];
  /** About seasons, once for each animal. */
  rest: string[];
  vet: string;
};

/** The flags of some animals from every sign that is kept, what cannot wait first; null when there is none. */
export function flagBoard(
  animals: readonly Pick<Animal, 'id' | 'name' | 'seasons'>[],
  signs: readonly SignRecord[],
  today: PlainDate,
  { locale, currency, unitSystem: system }: Writing,
): FlagBoard | null {
  const known = new Map(animals.map((one) => [one.id, one]));
  const flags = openFlags(signs.filter((one) => known.has(one.animalId)));
  if (flags.length === 0) return null;
  const flagged = new Set(flags.map((one) => one.sign.animalId));
  return {
    heading: flags.some((one) => one.today) ? 'A vet today' : 'Look at the animal first',
    rows: flags.map((flag) => {
      const { sign, fall } = flag;
      const { name } = known.get(sign.animalId)!;
      return {
        text: flagSentence(name, flag, sign.gramsTyped, locale),
        note: sign.notes === '' ? null : `“${sign.notes}”`,
        advice: flag.today ? signSentences.today : signSentences.ask,
        more: [
          ...(fall === null ? [] : [fallSentence(fall, system, locale)]),
          ...(sign.setAside === null
            ? []
            : [`Set aside for the vet: ${keptBackWords(sign.setAside, currency, locale)}.`]),
        ],
        href: paths.animals.signs.list(sign.animalId),
        endedHref: paths.animals.signs.settle(sign.animalId, sign.id),
        whose: `${name}, ${signNames[sign.kind]}, ${formatDate(sign.notedOn, locale)}`,
      };
    }),
    rest: animals.flatMap(({ id, name, seasons }) => {
      const ahead = flagged.has(id) ? restAhead(seasons, today) : null;
      return ahead === null ? [] : [restSentence(name, ahead, locale)];
    }),
    vet: signSentences.vet,
  };
}

type SignRow = {
  on: string;
  what: string;
  notes: string | null;
  state: string;
  called: string;
  editHref: string;
  settleHref: string | null;
  settleLabel: string;
  removeHref: string;
};

/** What views/pages/signs.hbs shows. */
type SignsPage = {
  heading: string;
  lead: string;
  flags: FlagBoard | null;
  weights: {
    finding: string | null;
    chart: Chart | null;
    rows: (SignRow & { change: string })[];
  } | null;
  seen: SignRow[];
  addHref: string;
  weighHref: string;
  removed: RemovedList | null;
  cautions: string[];
};

/** Everything noted of one animal, the newest first. */
export function signsPage(
  animal: AnimalRecord,
  signs: readonly SignRecord[],
  removed: readonly SignRecord[],
  today: PlainDate,
  writing: Writing,
): SignsPage {
  const { locale, unitSystem: system } = writing;
  const weights = weighings(signs);
  const changes = weightChanges(signs);
  const flagged = new Set(openFlags(signs).map((one) => one.sign.id));
  const line = (one: SignRecord) => rowOf(animal, one, flagged.has(one.id), writing);
  const byId = new Map(signs.map((one) => [one.id, one]));
  const finding = changes === null ? null : weightSentence(changes.over, system, locale);
  return {
    heading: `Signs of ${animal.name}`,
    lead: signSentences.lead,
    flags: flagBoard([animal], signs, today, writing),
    weights:
      weights.length === 0
        ? null
        : {
            finding,
            chart:
              weights.length < 2
                ? null
                : weightChart({
                    id: 'weights',
                    title: `Weight of ${animal.name}`,
                    description: finding ?? 'The last weight stands alone in its twelve weeks.',
                    caption: signSentences.weightsDrawn,
                    weights,
                    written: (grams) => formatQuantity(grams, 'mass', system),
                    locale,
                  }),
            rows: weights
              .map((one, index) => {
                const before = weights[index - 1];
                const change =
                  before === undefined ? '–' : percentWords((100 * (one.grams - before.grams)) / before.grams);
                return { ...line(byId.get(one.id)!), what: byId.get(one.id)!.gramsTyped, change };
              })
              .reverse(),
          },
    seen: signs
      .filter((one) => one.grams === null)
      .toSorted((a, b) => (a.notedOn < b.notedOn ? 1 : a.notedOn > b.notedOn ? -1 : Number(b.id) - Number(a.id)))
      .map(line),
    addHref: paths.animals.signs.new(animal.id),
    weighHref: paths.animals.signs.newOf(animal.id, 'weight'),
    removed: removedList(
      removed.map((one) => ({
        ...one,
        name: `${signWords(one, one.gramsTyped)}, ${formatDate(one.notedOn, locale)}`,
        action: paths.animals.signs.putBack(animal.id, one.id),
      })),
      locale,
    ),
    cautions: [cautions.vet, signSentences.vet],
  };
}

/** The last weight of an animal, for a place with room for one figure. */
export function lastWeight(signs: readonly (Sign & { gramsTyped: string })[], locale: string): string {
  const last = weighings(signs).at(-1);
  if (last === undefined) return 'never weighed';
  return `${signs.find((one) => one.id === last.id)!.gramsTyped}, on ${formatDate(last.on, locale)}`;
}

function rowOf(animal: AnimalRecord, one: SignRecord, isFlag: boolean, { locale, currency }: Writing): SignRow {
  const on = formatDate(one.notedOn, locale);
  const setAside = one.setAside === null || one.settled !== null ? [] : [keptBackWords(one.setAside, currency, locale)];
  const notes = [...(one.notes === '' ? [] : [one.notes]), ...setAside.map((sum) => `Set aside for the vet: ${sum}.`)];
  return {
    on,
    what: signWords(one, one.gramsTyped),
    notes: notes.length === 0 ? null : notes.join(' '),
    state: signStateWords(one.settled, isFlag, currency, locale),
    called: `${signNames[one.kind]}, ${on}`,
    editHref: paths.animals.signs.edit(animal.id, one.id),
    settleHref:
      isFlag || one.settled !== null || one.setAside !== null ? paths.animals.signs.settle(animal.id, one.id) : null,
    settleLabel: one.settled === null ? 'It ended' : 'How it ended',
    removeHref: paths.animals.signs.remove(animal.id, one.id),
  };
}
