// Which judge a need of an animal has. How each judges, and what they have in common, stands in the files beside this one.

import { judgeHeat, judgeHumidity } from './climate-needs.ts';
import { judgeEnrichment, judgeHides, judgeSpace, judgeWater } from './furnishing-needs.ts';
import type { Judging, NeedJudgement, NeedPart } from './judging.ts';
import { judgeSafety } from './safety-need.ts';
import type { Need } from './species.ts';
import { judgeUv } from './uv-need.ts';

/** Judges one need of one animal. */
export function judgeNeed(need: Need, judging: Judging): NeedJudgement {
  if (judging.targets.needsOff.includes(need)) return { status: 'off' };
  const parts = judges[need](judging);
  return parts.length === 0 ? { status: 'no-target' } : { status: 'judged', parts };
}

const judges: Record<Need, (judging: Judging) => NeedPart[]> = {
  safety: judgeSafety,
  heat: judgeHeat,
  uv: judgeUv,
  humidity: judgeHumidity,
  space: judgeSpace,
  hides: judgeHides,
  enrichment: judgeEnrichment,
  water: judgeWater,
};
