// The roadmap: the latest plan, the plans before it, and how a new one is made and stopped.

import type { FastifyInstance } from 'fastify';
import { brokenThingOf, payableAsPinned } from '../../src/breakdowns.ts';
import { budgetOf } from '../../src/budget.ts';
import { dateOfInstant, formatMonth, monthOf, type PlainDate } from '../../src/calendar.ts';
import { formatMoney } from '../../src/money.ts';
import { loadCollection } from '../db/collection.ts';
import { ledgerVersion, readLedger } from '../db/ledger.ts';
import { listOneOffSums, readMoneyFacts } from '../db/money.ts';
import { inTransaction, type Session } from '../db/open.ts';
import { findPlan, latestPlan, listPlans } from '../db/plans.ts';
import { listRooms } from '../db/rooms.ts';
import { listSetAside, listSigns } from '../db/signs.ts';
import { studiesOf } from '../db/studies.ts';
import { listUpgrades } from '../db/upgrades.ts';
import { findingSentences, powerNote } from '../money-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { planningFailures } from '../plan-words.ts';
import { gatherFacts } from '../planning.ts';
import { gatherScoring, scoreCollection } from '../scores.ts';
import { breakdownSentences } from '../upgrade-words.ts';
import { found, idFrom } from './asked-row.ts';
import { atOnceOf, offListOf, severeShortfallsOf, waitingFor } from './before-anything-else.ts';
import { askedOf } from './paging.ts';
import { type EmptyState, noPlanPage, planPage, progressPage } from './roadmap.view.ts';
import { roomYearOf, visitsInRestOf } from './room-year.ts';
import { takeProposals } from './upgrades.ts';

const frame = { title: 'Roadmap', current: 'roadmap' as const };

export function roadmapPages(app: FastifyInstance, { db, now, library, parts, planning, render }: Deps): void {
  app.get(paths.roadmap.show, (request, reply) => {
    const ledger = readLedger(db);
    const { locale, currency } = ledger;
    const today = dateOfInstant(now(), ledger.timeZone);
    const plan = latestPlan(db);
    const lines = listPlans(db);
    const failed = planning.lastFailure();
    const failure = failed === null ? null : planningFailures[failed];
    const empty = whatIsMissing(db);
    const gathered = gatherScoring(db, library(), now());
    const shortfalls = severeShortfallsOf(db, parts, gathered);
    const canPlan = empty === null || empty.href === paths.upgrades.list;
    const asked = askedOf(paths.roadmap.show, request.query);
    const atOnce = atOnceOf(shortfalls, gathered, plan, canPlan, asked);
    if (plan === null || (empty !== null && empty.href !== paths.upgrades.list))
      return render(reply, 'roadmap', noPlanPage(empty ?? null, empty === null, failure, lines, locale, atOnce), frame);
    const upgrades = listUpgrades(db);
    const shortage =
      plan.answer.status === 'infeasible'
        ? [
            ...shortReplacements(today),
            ...findingSentences(
              budgetOf(readMoneyFacts(db, today), monthOf(today), ledger.horizonMonths),
              currency,
              locale,
            ),
          ]
        : [];
    const page = planPage(
      plan,
      {
        locale,
        currency,
        today,
        upgrades,
        setAside: listSetAside(db),
        asked,
      },
      {
        stale: plan.ledgerVersion !== ledgerVersion(db),
        failure,
        lines,
        shortage,
        empty: empty ?? whatIsDone(),
        studies: studiesOf(db, plan.id),
        studying: planning.studying(),
        atOnce,
        offList: offListOf(shortfalls, ledger),
      },
    );
    const { scoring } = gathered;
    const visits = scoring.collection.animals
      .filter((one) => one.seasons.length > 0)
      .flatMap(({ id }) => visitsInRestOf(id, scoring, listSigns(db, Number(id)), listOneOffSums(db), locale));
    const rooms = roomYearOf(scoring, listRooms(db), ledger.unitSystem, visits);
    const budget = budgetOf(readMoneyFacts(db, today), monthOf(today), 1);
    return render(reply, 'roadmap', { ...page, rooms, powerNote: powerNote(ledger, budget.unknown) }, frame);

    // What is fixed because something broke is named first, with the month in which it can be paid.
    function shortReplacements(on: PlainDate): string[] {
      const facts = gatherFacts(db, library(), on);
      return upgrades.flatMap((one) => {
        if (one.status !== 'wanted' || brokenThingOf(one, facts.collection.fittings) === null) return [];
        const payable = payableAsPinned(facts, one.id);
        if (payable.status !== 'short') return [];
        const earliest = payable.earliest === null ? null : formatMonth(payable.earliest, locale);
        return [breakdownSentences.shortOnRoadmap(one.name, formatMoney(payable.by, currency, locale), earliest)];
      });
    }

    // Everything at its target: there is nothing to plan for, and that is worth saying.
    function whatIsDone(): EmptyState | null {
      const { scored } = scoreCollection(gatherScoring(db, library(), now()).scoring);
      const short = scored.some(({ score }) => score.needs.some((one) => one.value < 90 || one.unknown));
      if (short || scored.length === 0) return null;
      return {
        heading: 'Every need is at its target or near it',
        text: 'Nothing needs to be bought now. Keep the readings fresh: what is old or unknown lowers a score again.',
        href: paths.animals.list,
        action: 'Look at the scores',
      };
    }
  });

  app.get(paths.roadmap.progress, (_request, reply) => {
    const progress = planning.progress();
    if (progress === null) return reply.redirect(paths.roadmap.show, 303);
    return render(reply, 'progress', progressPage(progress, now()), { title: 'Planning', current: 'roadmap' });
  });

  app.get(paths.roadmap.older(':id'), (request, reply) => {
    const plan = found(findPlan(db, idFrom(request.params)));
    const { locale, currency, timeZone } = readLedger(db);
    const page = planPage(
      plan,
      {
        locale,
        currency,
        today: dateOfInstant(now(), timeZone),
        upgrades: null,
        setAside: [],
        asked: askedOf(paths.roadmap.older(plan.id), request.query),
      },
      {
        stale: false,
        failure: null,
        lines: listPlans(db),
        shortage: [],
        empty: null,
        studies: studiesOf(db, plan.id),
        studying: planning.studying(),
        atOnce: null,
        offList: () => null,
      },
    );
    return render(reply, 'roadmap', page, {
      ...frame,
      title: page.heading,
      back: { href: paths.roadmap.show, label: 'Roadmap' },
    });
  });

  app.post(paths.roadmap.plan, (request, reply) => {
    takeWhatEndsSevere();
    if (whatIsMissing(db) !== null) return reply.redirect(paths.roadmap.show, 303);
    const { afresh } = (request.body ?? {}) as Record<string, unknown>;
    planning.start({ afresh: afresh === 'yes' });
    return reply.redirect(paths.roadmap.progress, 303);
  });

  // A plan that leaves out what would end a severe shortfall, only because nobody has looked at the proposals, would be called best.
  function takeWhatEndsSevere(): void {
    const missing = whatIsMissing(db);
    if (missing !== null && missing.href !== paths.upgrades.list) return;
    const gathered = gatherScoring(db, library(), now());
    const waiting = waitingFor(severeShortfallsOf(db, parts, gathered));
    if (waiting.length === 0) return;
    inTransaction(db, (tx) => takeProposals(tx, waiting, gathered.ledger.unitSystem, '', gathered.today));
  }

  app.post(paths.roadmap.stop, (_request, reply) => {
    planning.stop();
    // Once the plan is kept, its progress page leads on to the roadmap.
    return reply.redirect(paths.roadmap.progress, 303);
  });

  app.post(paths.roadmap.study, (_request, reply) => {
    planning.study({ moreTime: true });
    return reply.redirect(paths.roadmap.show, 303);
  });
}

/** What must be there before a plan makes sense, the first that is missing; null when a plan can be made. */
export function whatIsMissing(session: Session): EmptyState | null {
  const { animals, enclosures } = loadCollection(session);
  if (!animals.some((one) => one.enclosureId !== null)) {
    return {
      heading: 'No animal to plan for yet',
      text: 'Enter an enclosure and the animal that lives in it. A plan says what to buy for it, month by month.',
      href: enclosures.length === 0 ? paths.enclosures.new : paths.animals.new,
      action: enclosures.length === 0 ? 'Enter an enclosure' : 'Enter an animal',
    };
  }
  const { monthlySum, cashCounted } = readLedger(session);
  if (monthlySum === null || cashCounted === null) {
    return {
      heading: 'No money to plan with yet',
      text: 'Enter the sum you put aside a month and count the cash you have. A plan never spends more.',
      href: paths.moneyChange,
      action: 'Enter the money',
    };
  }
  if (!listUpgrades(session).some((one) => one.status === 'wanted' || one.status === 'ordered')) {
    return {
      heading: 'No upgrade is wanted yet',
      text: 'The ledger proposes what would help, free actions first. Take what you would buy, price it, or add your own.',
      href: paths.upgrades.list,
      action: 'Look at the proposals',
    };
  }
  return null;
}
