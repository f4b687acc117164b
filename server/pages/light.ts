// The page that draws the light of one enclosure and tells its figures, as it is or with a lamp of the catalogue on trial.

import type { FastifyInstance } from 'fastify';
import { setupOf } from '../../src/collection.ts';
import type { PartsList } from '../../src/parts.ts';
import type { Scoring } from '../../src/score.ts';
import type { UnitSystem } from '../../src/units.ts';
import { findEnclosure } from '../db/collection.ts';
import { oncePer } from '../db/unchanged.ts';
import { formPage } from '../fields.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { idFrom, presentRow } from './asked-row.ts';
import { type AroundTrial, askedTrial, type Trial, trialGroups, trialSection } from './lamp-trial.ts';
import { lightPage } from './light.view.ts';
import { openProposals } from './open-proposals.ts';

function draw(scoring: Scoring, enclosureId: string, parts: PartsList, system: UnitSystem, trial: Trial | null) {
  return lightPage({
    setup: setupOf(trial?.after ?? scoring.collection, enclosureId),
    library: scoring.library,
    parts,
    system,
    today: scoring.on,
    trialId: trial?.fittingId ?? null,
  });
}

// Thousands of points of each box are asked for their light; as the box stands that is found once.
const drawn = oncePer((scoring: Scoring, enclosureId: string, parts: PartsList, system: UnitSystem) =>
  draw(scoring, enclosureId, parts, system, null),
);

export function lightPages(app: FastifyInstance, { db, now, library, parts, render }: Deps): void {
  app.get(paths.enclosures.light(':id'), (request, reply) => {
    const id = idFrom(request.params);
    const row = presentRow(findEnclosure(db, id));
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const around: AroundTrial = { enclosureId: row.id, ledger, scoring, parts };
    const asked = askedTrial(request.query, around);
    const trial = asked.status === 'tried' ? asked.trial : null;
    const page =
      trial === null
        ? drawn(scoring, row.id, parts, ledger.unitSystem)
        : draw(scoring, row.id, parts, ledger.unitSystem, trial);
    const form = formPage(asked.form, {
      heading: page.heading,
      action: `${paths.enclosures.light(row.id)}#trial`,
      groups: trialGroups(asked.form, around),
      submit: trial === null ? 'Try this lamp' : 'Try it so',
      cancel: paths.enclosures.light(row.id),
    });
    const model = {
      ...page,
      mistakes: form.mistakes,
      trial:
        trial === null
          ? null
          : trialSection(trial, around, openProposals(db, parts, { ledger, today, scoring }).proposals),
      trialForm: { action: form.action, groups: form.groups, submit: form.submit },
    };
    return render(reply, 'light', model, {
      title: page.heading,
      current: 'enclosures',
      status: asked.status === 'bad' ? 422 : 200,
      back: { href: page.backHref, label: row.name },
    });
  });
}
