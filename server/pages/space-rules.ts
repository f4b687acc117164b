// The short form that chooses the rule lists for space, from a page that shows what they ask; it leads back to that page.

import type { FastifyInstance } from 'fastify';
import { AppError } from '../../src/errors.ts';
import { findAnimal } from '../db/collection.ts';
import { changeLedger, readLedger } from '../db/ledger.ts';
import { checkboxField } from '../fields.ts';
import { formSentences } from '../form-words.ts';
import { startForm } from '../forms.ts';
import { ruleSetNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { ruleListWords } from '../species-words.ts';
import { versionOf } from './asked-row.ts';
import { saveOnce } from './sent-twice.ts';
import { chosenRuleSets, ruleField } from './settings.ts';
import { showTooLate } from './too-late.ts';

export function spaceRulePages(app: FastifyInstance, { db, library, render }: Deps): void {
  app.post(paths.spaceRules, (request, reply) => {
    const fields = (request.body ?? {}) as Record<string, string>;
    const version = versionOf(request);
    const known = ['version', 'species', 'animal', ...chosenRuleSets.map(ruleField)];
    const strange = Object.keys(fields).find((name) => !known.includes(name));
    if (strange !== undefined) throw new AppError('invalid', formSentences.unknownField(strange));
    const back = backTo(fields);
    const ruleSets = chosenRuleSets.filter((one) => fields[ruleField(one)] === 'yes');
    const saved = saveOnce(
      db,
      request,
      () => back,
      (tx) => changeLedger(tx, version, { ruleSets }),
    );
    if (saved === 'saved') return reply.redirect(withNotice(back, 'choices-saved'), 303);
    const now = readLedger(db).ruleSets;
    const late = {
      heading: ruleListWords.heading,
      fields: chosenRuleSets.map((one) => checkboxField(startForm(), ruleField(one), ruleSetNames[one])),
      called: 'the settings',
      saved: Object.fromEntries(chosenRuleSets.map((one) => [ruleField(one), now.includes(one) ? 'yes' : ''])),
      typed: fields,
      shownAt: back,
    };
    return showTooLate(render, reply, late, 'species');
  });

  // Only pages of this ledger are led back to, found by what they are about and never by an address that was sent.
  function backTo({ species, animal }: Record<string, string>): string {
    if (library().species.some(({ id }) => id === species)) return paths.species.show(species!);
    const row = /^\d{1,9}$/.test(animal ?? '') ? findAnimal(db, Number(animal)) : null;
    return row === null || row.removedOn !== null ? paths.settings : paths.animals.space(row.id);
  }
}
