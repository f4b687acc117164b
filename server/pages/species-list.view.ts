// What the list of species shows: the search with its filters, which are plain fields of an address, and each species in two lines.

import { countFiguresOf } from '../../src/care-figures.ts';
import type { Scoring } from '../../src/score.ts';
import type { Species } from '../../src/species.ts';
import {
  type Criterion,
  criteriaOf,
  KNOWN_LEVELS,
  searchSpecies,
  type WantedSpecies,
} from '../../src/species-finder.ts';
import { type Answer, checkboxField, type Field, selectField } from '../fields.ts';
import { startForm } from '../forms.ts';
import { activityWords, groupWords, habitWords } from '../kind-words.ts';
import { paths } from '../paths.ts';
import {
  criterionWords,
  knownFilterWords,
  nothingFoundSentence,
  outdoorsFilterWords,
  readShareWords,
  uvFilterWords,
} from '../species-words.ts';
import { alternatives, capital, listed, sharedWords } from '../words.ts';
import type { RemovedList } from './removed-list.ts';

type SpeciesListPage = {
  heading: string;
  lead: string | null;
  query: string;
  action: string;
  filters: { isOpen: boolean; summary: string; selects: Field[]; kept: Field };
  clear: string | null;
  found: string;
  rows: { name: string; href: string; scientificName: string; others: string; what: string; kept: string | null }[];
  compare: string;
  add: string;
  removed: RemovedList | null;
};

const asWritten = <Value extends string>(names: Readonly<Record<Value, string>>): Answer[] =>
  Object.entries<string>(names).map(([value, name]) => ({ value, label: capital(name) }));

const zones = ['1', '2', '3', '4'] as const;

// Each filter by its name in the address, with its answers in the order they are shown.
const filters = {
  group: { label: 'Group', answers: asWritten(groupWords) },
  habit: { label: 'Way of life', answers: asWritten(habitWords) },
  activity: { label: 'Active', answers: asWritten(activityWords) },
  uv: { label: 'UV-B', answers: asWritten(uvFilterWords) },
  zone: { label: 'UV zone', answers: zones.map((value) => ({ value, label: `Zone ${value}` })) },
  outdoors: { label: 'Outdoors', answers: asWritten(outdoorsFilterWords) },
  known: {
    label: 'Figures read in a source',
    answers: KNOWN_LEVELS.map((value) => ({ value, label: knownFilterWords[value] })),
  },
} as const satisfies Partial<Record<Criterion, { label: string; answers: readonly Answer[] }>>;

const LONGEST_SEARCH = 80;

/** What the address of the list asks for; whatever it carries that no filter offers asks for nothing. */
export function wantedIn(query: unknown): WantedSpecies {
  const given = (query ?? {}) as Record<string, unknown>;
  const text = (name: string): string => {
    const value = Object.hasOwn(given, name) ? given[name] : '';
    return typeof value === 'string' ? value : '';
  };
  const chosen = <Value extends string>(name: keyof typeof filters): Value | null => {
    const value = text(name);
    return filters[name].answers.some((one) => one.value === value) ? (value as Value) : null;
  };
  return {
    words: text('q').slice(0, LONGEST_SEARCH),
    group: chosen<Species['group']>('group'),
    habit: chosen<Species['habit']>('habit'),
    activity: chosen<Species['activity']>('activity'),
    zone: chosen('zone') === null ? null : (Number(chosen('zone')) as WantedSpecies['zone']),
    uv: chosen<NonNullable<WantedSpecies['uv']>>('uv'),
    outdoors: chosen<NonNullable<WantedSpecies['outdoors']>>('outdoors'),
    kept: text('kept') === 'yes' ? 'yes' : null,
    known: chosen<NonNullable<WantedSpecies['known']>>('known'),
  };
}

/** The species that fit what is wanted; all of them when nothing is. */
export function speciesListPage(
  { library, collection }: Scoring,
  wanted: WantedSpecies,
  removed: RemovedList | null,
): SpeciesListPage {
  const { found, without } = searchSpecies(
    library,
    new Set(collection.animals.map(({ speciesId }) => speciesId)),
    wanted,
  );
  const asked = criteriaOf(wanted);
  const narrowed = asked.filter((one) => one !== 'words');
  const { words, ...values } = wanted;
  const form = startForm(
    Object.fromEntries(Object.entries(values).map(([name, value]) => [name, String(value ?? '')])),
  );
  const any = { value: '', label: 'Any' };
  return {
    heading: 'Species',
    lead: 'What the ledger holds of each species: targets, where they come from and how well they are known.',
    query: words,
    action: paths.species.list,
    filters: {
      isOpen: narrowed.length > 0,
      summary:
        narrowed.length === 0
          ? 'Narrow the list'
          : `Narrowed by ${listed(narrowed.map((one) => criterionWords(one, wanted)))}`,
      selects: Object.entries(filters).map(([name, { label, answers }]) =>
        selectField(form, name, label, [any, ...answers]),
      ),
      kept: checkboxField(form, 'kept', 'Only species that I keep'),
    },
    clear: asked.length === 0 ? null : paths.species.list,
    found:
      found.length === 0
        ? nothingFoundSentence(asked, without, wanted)
        : `${found.length} of ${library.species.length} species`,
    rows: found.map((one) => ({
      name: one.commonName,
      href: paths.species.show(one.id),
      scientificName: one.scientificName,
      others: one.otherNames.length === 0 ? '' : `, ${one.otherNames.join(', ')}`,
      what: `${capital(groupWords[one.group])}; ${habitWords[one.habit]}; active ${activityWords[one.activity]}; ${uvWords(one)}. ${readShareWords(countFiguresOf(one, library))}.`,
      kept: keptText(collection.animals.filter(({ speciesId }) => speciesId === one.id).map(({ name }) => name)),
    })),
    compare: paths.species.compare(),
    add: paths.ownSpecies.new,
    removed,
  };
}

function uvWords({ uv }: Species): string {
  const places = [...new Set(uv.zones.map(({ zone }) => zone))].sort().map(String);
  const zone = places.length === 0 ? '' : `, zone ${alternatives(places)}`;
  return `UV ${uv.need === 'required' ? 'required' : 'optional'}${zone}`;
}

function keptText(names: readonly string[]): string | null {
  return names.length === 0 ? null : sharedWords.youKeep(listed(names));
}
