// What the latest plan and the purchases already made say of the present month: what is still to be bought or done, what is on the way and
// which renewals are due by its end.

import { budgetOf, type RenewalDue } from '../../src/budget.ts';
import { lastDay, monthOf, type PlainDate, type PlainMonth } from '../../src/calendar.ts';
import { type Money, money } from '../../src/money.ts';
import type { Roadmap, RoadmapBuy } from '../../src/roadmap.ts';
import type { Ledger } from '../db/ledger.ts';
import { ledgerVersion } from '../db/ledger.ts';
import { readMoneyFacts } from '../db/money.ts';
import type { Session } from '../db/open.ts';
import { latestPlan } from '../db/plans.ts';
import { listUpgrades, type UpgradeRecord } from '../db/upgrades.ts';

/** A purchase or free action that the plan holds for this month and that is still to be made. */
export type OpenBuy = { buy: RoadmapBuy; upgrade: UpgradeRecord; animals: string[] };

/** The present month. `planned` is false while no plan covers it; `stale` when the ledger was changed since the plan. */
export type MonthList = {
  month: PlainMonth;
  planned: boolean;
  stale: boolean;
  open: OpenBuy[];
  /** Bought and not here yet. */
  onTheWay: UpgradeRecord[];
  /** Bought, here, and waiting to be fitted. */
  toFit: UpgradeRecord[];
  renewals: RenewalDue[];
  /** How much more this month may cost than planned without breaking into the floor or into what any later month of the plan buys; null where no plan tells. */
  spare: Money | null;
  upgrades: UpgradeRecord[];
};

/** Gathers the month that a day falls in. */
export function monthListOf(session: Session, ledger: Ledger, today: PlainDate): MonthList {
  const month = monthOf(today);
  const plan = latestPlan(session);
  const upgrades = listUpgrades(session);
  const roadmap = plan?.roadmap ?? null;
  const planned = roadmap?.months.find((one) => one.month === month);
  const byId = new Map(upgrades.map((one) => [one.id, one]));
  const nameOf = new Map(roadmap?.animals.map((one) => [one.animalId, one.name]));
  const ordered = upgrades.filter((one) => one.status === 'ordered');
  const stale = plan !== null && plan.ledgerVersion !== ledgerVersion(session);
  const isComing = (one: UpgradeRecord) => one.arrivesMonth !== null && one.arrivesMonth >= month;
  return {
    month,
    planned: planned !== undefined,
    stale,
    open: (planned?.buys ?? []).flatMap((buy) => {
      const upgrade = byId.get(buy.upgradeId);
      if (upgrade === undefined || upgrade.status !== 'wanted') return [];
      const animals = buy.animalIds.flatMap((id) => nameOf.get(id) ?? []);
      return [{ buy, upgrade, animals }];
    }),
    onTheWay: ordered.filter(isComing),
    toFit: ordered.filter((one) => !isComing(one)),
    renewals: budgetOf(readMoneyFacts(session, today), month, ledger.horizonMonths).renewals.filter(
      (one) => one.dueOn <= lastDay(month),
    ),
    spare: planned === undefined || stale ? null : spareOf(roadmap!, month),
    upgrades,
  };
}

function spareOf({ months, reserve }: Roadmap, from: PlainMonth): Money {
  return money(Math.max(0, Math.min(...months.filter((one) => one.month >= from).map((one) => one.cash - reserve))));
}
