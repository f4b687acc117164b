// Which rule lists judge the space of a species, which rule asks the most, what the lists that were not chosen would ask, and the short
// form that chooses others. It stands on the page of a species and on that of one animal's room.

import { adultDemands, amountOf, type Demand, spansOf } from '../../src/space-demands.ts';
import type { RuleSet, Species } from '../../src/species.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatQuantity } from '../../src/units.ts';
import type { Ledger } from '../db/ledger.ts';
import { checkboxField, type Field } from '../fields.ts';
import { startForm } from '../forms.ts';
import { ruleSetNames } from '../kind-words.ts';
import { paths } from '../paths.ts';
import { silenceWords, spaceNeedWords } from '../score-words.ts';
import { amountWords, ruleListWords } from '../species-words.ts';
import { capital } from '../words.ts';
import { chosenRuleSets, ruleField } from './settings.ts';

/** The section as views/partials/rule-lists.hbs draws it; `form` is null where no list has a say. */
export type RuleLists = {
  heading: string;
  judged: string[];
  othersLead: string;
  others: string[];
  form: {
    summary: string;
    hint: string;
    action: string;
    version: string;
    back: { name: 'species' | 'animal'; value: string };
    fields: Field[];
    submit: string;
  } | null;
};

/** The lists for a species. `decides` is what to add for one animal in its box; `back` is the page that the form leads back to. */
export function ruleLists(
  species: Species,
  { ruleSets, version, unitSystem }: Pick<Ledger, 'ruleSets' | 'version' | 'unitSystem'>,
  back: { name: 'species' | 'animal'; value: string },
  decides: readonly string[] = [],
): RuleLists {
  const { mm, demands } = adultDemands(species, ruleSets);
  const adult = formatQuantity(mm, 'length', unitSystem);
  const chosen = demands.filter((one) => one.chosen);
  const others = demands.filter((one) => !one.chosen);
  const isOwn = chosen.some(({ rule }) => rule.ruleSet === 'own');
  const form = startForm(Object.fromEntries(ruleSets.map((one) => [ruleField(one), 'yes'])));
  return {
    heading: ruleListWords.heading,
    judged: [...judgedBy(), ...decides],
    othersLead: others.length === 0 ? ruleListWords.noOthers : ruleListWords.others,
    others: others.map(({ rule, asked }) =>
      ruleListWords.other(
        ruleSetNames[rule.ruleSet],
        rule.title,
        asked.status === 'known' ? spaceNeedWords(asked.needed, unitSystem) : silenceWords(asked, unitSystem),
      ),
    ),
    form:
      isOwn || demands.length === 0
        ? null
        : {
            summary: ruleListWords.change,
            hint: ruleListWords.changeHint,
            action: paths.spaceRules,
            version: String(version),
            back,
            fields: chosenRuleSets.map((one) => checkboxField(form, ruleField(one), ruleSetNames[one])),
            submit: ruleListWords.submit,
          },
  };

  function judgedBy(): string[] {
    if (demands.length === 0) return [ruleListWords.noRule];
    if (isOwn) return [ruleListWords.ownDecides, ...strictestOf(chosen, adult, unitSystem)];
    const lists = [...new Set(chosen.map(({ rule }) => rule.ruleSet))];
    const stoodIn = lists.every((one) => one === 'practice') && !ruleSets.includes('practice');
    return [
      stoodIn ? ruleListWords.byPractice : ruleListWords.judgedBy(lists.map((one: RuleSet) => ruleSetNames[one])),
      ...strictestOf(chosen, adult, unitSystem),
    ];
  }
}

function strictestOf(chosen: readonly Demand[], adult: string, system: UnitSystem): string[] {
  const known = chosen.flatMap(({ rule, asked }) => (asked.status === 'known' ? [{ rule, needed: asked.needed }] : []));
  if (known.length === 0) return [];
  if (known.length === 1)
    return [ruleListWords.alone(known[0]!.rule.title, spaceNeedWords(known[0]!.needed, system), adult)];
  const spans = spansOf(chosen);
  const first = known.find(({ needed }) =>
    spans.every(({ dimension, most }) => (amountOf(needed, dimension) ?? 0) >= most.amount),
  );
  if (first !== undefined)
    return [ruleListWords.strictest(first.rule.title, spaceNeedWords(first.needed, system), adult)];
  return [
    ruleListWords.mixed(adult),
    ...spans.map(({ dimension, most }) =>
      capital(ruleListWords.mostOf(dimension, amountWords(dimension, most.amount, system), most.rule.title)),
    ),
  ];
}
