// Which version of the program this is, as package.json says it.

import { readFileSync } from 'node:fs';

const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string;
};

/** The version of the program, such as '0.1.0'. */
export const programVersion: string = version;
