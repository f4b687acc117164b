// The pages of species: a list that can be searched by any name and narrowed, and one species with every target, its source and how well it is known.

import type { FastifyInstance } from 'fastify';
import { listCareUpdates, listOverrides, listOwnSpecies } from '../db/care.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { speciesAt } from './asked-row.ts';
import { removedList } from './removed-list.ts';
import { ruleLists } from './rule-lists.view.ts';
import { speciesPage } from './species.view.ts';
import { speciesListPage, wantedIn } from './species-list.view.ts';

export function speciesPages(app: FastifyInstance, { db, now, library, care, render }: Deps): void {
  app.get(paths.species.list, (request, reply) => {
    const { ledger, scoring } = gatherScoring(db, library(), now());
    const gone = listOwnSpecies(db, 'removed').map(({ id, species, removedOn, version }) => ({
      name: species.commonName,
      removedOn,
      version,
      action: paths.ownSpecies.putBack(id),
    }));
    const removed = removedList(gone, ledger.locale);
    const model = speciesListPage(scoring, wantedIn(request.query), removed);
    return render(reply, 'species-list', model, { title: model.heading, current: 'species' });
  });

  app.get(paths.species.show(':key'), (request, reply) => {
    const species = speciesAt(request.params, library());
    const { ledger, scoring } = gatherScoring(db, library(), now());
    const ofThis = (one: { speciesId: string }) => one.speciesId === species.id;
    const model = speciesPage(
      species,
      scoring,
      ledger.unitSystem,
      {
        species,
        base: care.withoutOverrides(),
        overrides: listOverrides(db).filter(ofThis),
        removed: listOverrides(db, 'removed').filter(ofThis),
        own: listOwnSpecies(db).find((one) => one.species.id === species.id) ?? null,
        updates: listCareUpdates(db),
        locale: ledger.locale,
        system: ledger.unitSystem,
      },
      ruleLists(species, ledger, { name: 'species', value: species.id }),
    );
    return render(reply, 'species', model, {
      title: model.heading,
      current: 'species',
      back: { href: paths.species.list, label: 'All species' },
    });
  });
}
