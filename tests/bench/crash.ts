// The long run of kills: `npm run crash -- --kills 200`. Prints a line every ten kills, what it came to, and every problem.
// With fewer forms a life (`--longest 16`) it is done sooner.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { type PlantedFault, surviveKills, writeKilledProgram } from '../support/crash.ts';

const { values } = parseArgs({
  options: {
    kills: { type: 'string', default: '200' },
    seed: { type: 'string', default: '1' },
    longest: { type: 'string', default: '40' },
    fault: { type: 'string' },
  },
});
const folder = mkdtempSync(join(tmpdir(), 'crash-bench-'));
try {
  const summary = await surviveKills({
    program: await writeKilledProgram(folder),
    kills: Number(values.kills),
    seed: Number(values.seed),
    longest: Number(values.longest),
    folder,
    ...(values.fault === undefined ? {} : { fault: values.fault as PlantedFault }),
    log: console.log,
  });
  const { kills, killsAtStart, sent, acknowledged, cutOffWhole, cutOffAbsent, sentAgain, kinds, seconds, problems } =
    summary;
  for (const line of problems) console.log(line);
  console.log(
    Object.entries(kinds)
      .map(([kind, count]) => `${kind} ${count}`)
      .join(', '),
  );
  console.log(
    `${kills} kills (${killsAtStart} at the start) in ${seconds} s: ${sent} forms sent, ${acknowledged} acknowledged, ` +
      `${cutOffWhole + cutOffAbsent} cut off (${cutOffWhole} whole, ${cutOffAbsent} absent), ${sentAgain} sent again, ${problems.length} problems`,
  );
  process.exitCode = problems.length === 0 ? 0 : 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
