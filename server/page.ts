// What every page is given when it registers its routes, and nothing more: pages know no other part of the server.

import type { FastifyInstance } from 'fastify';
import type { PartsList } from '../src/parts.ts';
import type { CareLibrary } from '../src/species.ts';
import type { Access } from './access.ts';
import type { Asking } from './asking.ts';
import type { Backups } from './backups.ts';
import type { Care } from './care.ts';
import type { Db } from './db/open.ts';
import type { Planning } from './planning.ts';
import type { Render } from './render.ts';

/** The world as a page sees it. */
export type Deps = {
  db: Db;
  /** The present moment; fixed in tests. */
  now: () => Date;
  /** What species need as things stand: what ships with the ledger, with the keeper's own values and species. */
  library: () => CareLibrary;
  /** The keeper's own values and species beside the shipped ones. */
  care: Care;
  /** Generic parts that upgrades are proposed from. */
  parts: PartsList;
  /** The making of plans, of which the ledger has at most one under way. */
  planning: Planning;
  /** The answering of questions about the collection, one at a time. */
  asking: Asking;
  /** Signing in and out. */
  access: Access;
  /** The checked copies of the ledger. */
  backups: Backups;
  /** Whether a demonstration is shown beside this ledger. */
  hasDemonstration: boolean;
  /** Answers with a page of views/pages. */
  render: Render;
};

/** A set of routes. It registers them at once and returns nothing. */
export type Page = (app: FastifyInstance, deps: Deps) => void;
