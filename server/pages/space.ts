// The page on room for one animal: what each rule asks for, today and later, and what fits into the space its keeper has.

import type { FastifyInstance } from 'fastify';
import { addMonthsToDate } from '../../src/calendar.ts';
import { setupOf } from '../../src/collection.ts';
import { outgrownIn } from '../../src/growth.ts';
import { runInSeason } from '../../src/judging.ts';
import { suitsSpecies } from '../../src/larger-boxes.ts';
import { type BoxMeasures, compareRules, extentOf } from '../../src/space.ts';
import { speciesOf } from '../../src/species.ts';
import { findAnimal } from '../db/collection.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { idFrom, presentRow } from './asked-row.ts';
import { growthView, outgrownWords } from './growth.view.ts';
import { spacePage } from './space.view.ts';

export function spacePages(app: FastifyInstance, { db, library, now, parts, render }: Deps): void {
  app.get(paths.animals.space(':id'), (request, reply) => {
    const row = presentRow(findAnimal(db, idFrom(request.params)));
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const { collection, choices } = scoring;
    const species = speciesOf(scoring.library, row);
    const animal = collection.animals.find((one) => one.id === row.id)!;
    const box = collection.enclosures.find((one) => one.id === animal.enclosureId) ?? null;
    const occupants = box === null ? [animal] : collection.animals.filter((one) => one.enclosureId === box.id);
    const things = box === null ? [] : setupOf(collection, box.id).fittings;
    const run = runInSeason(things, species.outdoors, today)?.outdoors ?? null;
    const there = extentOf(box ?? { lengthMm: 0, depthMm: 0, heightMm: 0 }, run);
    const horizonOn = addMonthsToDate(today, ledger.horizonMonths);
    const comparison = compareRules(
      { species, animal, occupants, there, ruleSets: choices.ruleSets, on: today },
      { horizonOn },
    );
    // Room alone does not make a box fit: a snake climbs out of an open table. The catalogue's names end in the size, which is written in
    // the keeper's own units here.
    const boxes = parts.parts.flatMap((one) =>
      one.enclosure === undefined || !suitsSpecies(one.enclosure, species)
        ? []
        : [{ name: one.name.replace(/, \d+ x \d+ x \d+ cm$/, ''), ...one.enclosure }],
    );
    const lasts = (measures: BoxMeasures) =>
      outgrownWords(
        outgrownIn({ species, animal, occupants, ruleSets: choices.ruleSets, on: today }, measures),
        ledger.locale,
      );
    const growth = growthView(animal, scoring, ledger);
    const model = spacePage({
      row,
      species,
      box,
      run,
      comparison,
      horizonOn,
      boxes,
      lasts,
      library: scoring.library,
      ledger,
      growth,
    });
    return render(reply, 'space', model, {
      title: model.heading,
      current: 'animals',
      back: { href: paths.animals.show(row.id), label: row.name },
    });
  });
}
