// The program as `npm start` runs it, begun in two steps: what takes long is read first, and server/main.ts is run when the parent says
// so. With PLANTED_FAULT the database is spoilt on purpose, so that a test of crashes can be seen to find a loss.

import Database from 'better-sqlite3';
import '../../server/app.ts';

// Long enough for a form to be answered and the program to be killed before what it said was saved is.
const LATE_MILLISECONDS = 150;

if (process.env.PLANTED_FAULT === 'early-answer') writeBehind();
if (process.env.PLANTED_FAULT === 'no-transaction') {
  killInside();
  writeByStatement();
}
if (process.env.PLANTED_FAULT === 'killed-inside') killInside();

process.once('message', () => {
  // The program ends when it is told to, not when its parent stops talking; without a parent there is nobody left to end it.
  process.channel?.unref();
  void import('../../server/main.ts');
});
process.once('disconnect', () => process.exit());

/** Answers before it commits: what a transaction wrote is kept in an outer one, which is ended later. */
function writeBehind(): void {
  replaceTransactions((client, _work, original) => (...given) => {
    if (!client.inTransaction) {
      client.exec('BEGIN IMMEDIATE');
      setTimeout(() => client.open && client.inTransaction && client.exec('COMMIT'), LATE_MILLISECONDS);
    }
    return original(...given);
  });
}

/** Keeps each statement by itself, so that a kill leaves half of what belongs together. */
function writeByStatement(): void {
  replaceTransactions((_client, work) => work);
}

/** Kills the program between the second and the third reading of those that are entered together, so that no chance is in it. */
function killInside(): void {
  const { prepare } = Database.prototype;
  let [entered, isForgotten] = [0, true];
  Database.prototype.prepare = function (this: Database.Database, query: string) {
    const statement = prepare.call(this, query);
    if (!/^insert into "readings"/i.test(query)) return statement;
    for (const way of ['run', 'get', 'all'] as const) {
      const enter = statement[way].bind(statement) as Work;
      Object.assign(statement, {
        [way]: (...given: unknown[]) => {
          const outcome = enter(...given);
          entered += 1;
          // What is entered together is entered without letting anything else come between.
          if (isForgotten) queueMicrotask(() => ([entered, isForgotten] = [0, true]));
          isForgotten = false;
          if (entered === 2) process.kill(process.pid, 'SIGKILL');
          return outcome;
        },
      });
    }
    return statement;
  } as typeof prepare;
}

type Work = (...given: unknown[]) => unknown;

function replaceTransactions(made: (client: Database.Database, work: Work, original: Work) => Work): void {
  const { transaction } = Database.prototype;
  Database.prototype.transaction = function (this: Database.Database, work: Work) {
    const original = transaction.call(this, work) as Work;
    // Migrations are left alone: only what a form does is spoilt.
    const run: Work = (...given) =>
      (this.name.endsWith('ledger.sqlite') ? made(this, work, original) : original)(...given);
    return Object.assign(run, { default: run, deferred: run, immediate: run, exclusive: run, database: this });
  } as unknown as typeof transaction;
}
