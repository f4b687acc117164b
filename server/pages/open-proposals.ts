// Which proposals stand open for the ledger as it is: those that the set-ups call for and nobody has answered, by one rule for every page.

import { daysBetween, type PlainDate } from '../../src/calendar.ts';
import type { Enclosure } from '../../src/collection.ts';
import type { PartsList } from '../../src/parts.ts';
import {
  type EnclosureSurvey,
  type Proposal,
  surveyEnclosure,
  surveyUpgrades,
  type Unanswered,
} from '../../src/proposals.ts';
import type { Proposing } from '../../src/remedies.ts';
import type { Scoring } from '../../src/score.ts';
import type { Ledger } from '../db/ledger.ts';
import type { Session } from '../db/open.ts';
import { listRooms, type RoomRecord } from '../db/rooms.ts';
import { oncePer, whileSame } from '../db/unchanged.ts';
import { listUpgrades, type UpgradeRecord } from '../db/upgrades.ts';
import { judgedFrom } from '../scores.ts';

/** How long after fitting the same thing is not proposed again: until then its readings may not be in. Our own choice. */
const SETTLING_DAYS = 30;

// What is proposed is tried on paper, a score each: found once as long as everything that it is found from stands as it is.
const survey = oncePer(
  ({ collection, library, choices, on }: Scoring, ledger: Ledger, parts: PartsList, rooms: RoomRecord[]) =>
    surveyUpgrades(
      {
        collection,
        library,
        choices,
        rooms,
        parts,
        currency: ledger.currency,
        powerPrice: ledger.coversPower ? ledger.pricePerKwh : 'not-ours',
        on,
      },
      surveyedBefore,
    ),
);

// An enclosure is surveyed anew only when something that its proposals hang on became another: a reading in one box leaves the others be.
const surveyThere = whileSame<Enclosure, EnclosureSurvey>();

function surveyedBefore(proposing: Proposing, enclosureId: string): EnclosureSurvey {
  const { collection, library, parts, choices, on, ...rest } = proposing;
  const judged = judgedFrom({ collection, library, choices, on, knownOn: on }, collection);
  const from = [parts, JSON.stringify(rest), ...judged];
  return surveyThere(collection.enclosures[0]!, from, () => surveyEnclosure(proposing, enclosureId));
}

/** The proposals that are open on a day, and the needs that none answers. One that was fitted comes back once it had time to show. */
export function openProposals(
  session: Session,
  parts: PartsList,
  { ledger, today, scoring }: { ledger: Ledger; today: PlainDate; scoring: Scoring },
): { proposals: Proposal[]; unanswered: Unanswered[] } {
  return openAmong(survey(scoring, ledger, parts, listRooms(session)), listUpgrades(session), today);
}

// The same result as long as nothing changes, so that what is found from it is found once too.
const openAmong = oncePer(
  (
    { proposals, unanswered }: ReturnType<typeof surveyUpgrades>,
    upgrades: readonly UpgradeRecord[],
    today: PlainDate,
  ) => {
    const answered = new Set(
      upgrades
        .filter((one) => one.status !== 'fitted' || daysBetween(one.fittedOn!, today) < SETTLING_DAYS)
        .map((one) => one.proposalKey),
    );
    return { proposals: proposals.filter((one) => !answered.has(one.key)), unanswered };
  },
);
