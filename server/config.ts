// The settings: their names, their defaults, what each means, and which combinations are refused. Knows nothing of process.env.

import { isIP } from 'node:net';

/** Where the ledger listens, under which names it is opened, and where it keeps its files. */
export type Config = {
  /** The address to listen on. */
  host: string;
  /** The TCP port, 0 to 65535; 0 takes any free port. */
  port: number;
  /** The folder of the database, as given. */
  dataDir: string;
  /** The address that people open, 'https://ledger.example', or null. */
  origin: string | null;
  /** Further names by which it is opened, lower case and without a port. */
  hosts: string[];
  /** The addresses of proxies that are believed when they say who asks. */
  proxies: string[];
  /** Why others may reach it, the beginning of a sentence; null when only this computer does. */
  isReachedBecause: string | null;
};

/** A setting a person may put in the environment. */
export type Setting = {
  name: 'HOST' | 'PORT' | 'DATA_DIR' | 'ORIGIN' | 'HOSTS' | 'TRUSTED_PROXY';
  /** What is used when it is absent or empty. */
  default: string;
  /** What it does, as DEVELOPERS.md repeats it. */
  sentence: string;
};

/** Every setting there is, in the order they are documented. */
export const settings: readonly Setting[] = [
  {
    name: 'HOST',
    default: '127.0.0.1',
    sentence:
      'The address to listen on: this computer alone unless set; 0.0.0.0 is every network it is on, and needs a password.',
  },
  { name: 'PORT', default: '4380', sentence: 'The port to listen on, 0 to 65535; 0 takes any free port.' },
  {
    name: 'DATA_DIR',
    default: './data',
    sentence: 'The folder that holds the ledger and its copies; made when absent.',
  },
  {
    name: 'ORIGIN',
    default: '',
    sentence:
      'The address that people open, such as https://ledger.example, when a proxy in front answers it; needs a password.',
  },
  {
    name: 'HOSTS',
    default: '',
    sentence: 'The names by which other computers open it, such as raspberry.local, with commas; needs a password.',
  },
  {
    name: 'TRUSTED_PROXY',
    default: '',
    sentence: 'The addresses of proxies that are believed when they say who asks, with commas; needs a password.',
  },
];

const loopbackHosts = ['127.0.0.1', '::1', 'localhost'];

/** Whether an address to listen on stands for every address of this computer. */
export function isEveryAddress(host: string): boolean {
  return host === '0.0.0.0' || host === '::';
}

/** Reads the settings from an environment; what cannot be used comes back as sentences, one for each setting at fault. */
export function readConfig(
  environment: Readonly<Record<string, string | undefined>>,
): { status: 'ok'; config: Config } | { status: 'bad'; problems: string[] } {
  const [host, port, dataDir, typedOrigin, ...lists] = settings.map(
    (setting) => environment[setting.name]?.trim() || setting.default,
  ) as [string, string, string, string, string, string];
  const [hosts, proxies] = lists.map((list) =>
    list
      .toLowerCase()
      .split(/[\s,]+/)
      .filter(Boolean),
  ) as [string[], string[]];
  const problems: string[] = [];
  if (isIP(host) === 0 && !isName(host.toLowerCase()))
    problems.push(`HOST is "${host}", but it is an address of this computer, such as 0.0.0.0, or a name of it.`);
  if (!/^\d{1,5}$/.test(port) || Number(port) > 65_535) {
    problems.push(`PORT is "${port}", but a port is a whole number from 0 to 65535.`);
  }
  if (dataDir.includes('\0')) problems.push('DATA_DIR holds a character that no folder name can have.');
  const origin = readOrigin(typedOrigin);
  if (origin === 'bad')
    problems.push(
      `ORIGIN is "${typedOrigin}", but it is http:// or https:// and a name, such as https://ledger.example.`,
    );
  const badName = hosts.find((one) => isIP(one) === 0 && !isName(one));
  if (badName !== undefined)
    problems.push(`HOSTS holds "${badName}", but each is a name without http:// and port, such as raspberry.local.`);
  const badProxy = proxies.find((one) => isIP(one) === 0);
  if (badProxy !== undefined)
    problems.push(`TRUSTED_PROXY holds "${badProxy}", but each is the address of a proxy, such as 127.0.0.1.`);
  if (problems.length > 0) return { status: 'bad', problems };
  return {
    status: 'ok',
    config: {
      host,
      port: Number(port),
      dataDir,
      origin: origin === 'bad' ? null : origin,
      // A name to listen on is a name by which it is opened.
      hosts: [...(isIP(host) === 0 ? [host.toLowerCase()] : []), ...hosts.map(asInUrl)],
      proxies,
      isReachedBecause: reasonOf(host, typedOrigin, hosts, proxies),
    },
  };
}

/** The address a person opens in a browser, such as 'http://127.0.0.1:4380/'. */
export function publicUrl(host: string, port: number): string {
  return `http://${asInUrl(host)}:${port}/`;
}

function asInUrl(host: string): string {
  return isIP(host) === 6 ? `[${host}]` : host;
}

function isName(text: string): boolean {
  return text.length <= 253 && /^[a-z0-9]([a-z0-9-]*[a-z0-9])?(\.[a-z0-9]([a-z0-9-]*[a-z0-9])?)*$/.test(text);
}

function readOrigin(typed: string): string | null | 'bad' {
  if (typed === '') return null;
  if (!URL.canParse(typed)) return 'bad';
  const { protocol, origin, href } = new URL(typed);
  // Nothing but scheme, name and port: the ledger is not served below a path.
  return ['http:', 'https:'].includes(protocol) && href === `${origin}/` ? origin : 'bad';
}

function reasonOf(host: string, origin: string, hosts: readonly string[], proxies: readonly string[]): string | null {
  if (!loopbackHosts.includes(host.toLowerCase())) return `HOST is "${host}", which other computers can reach`;
  if (origin !== '') return `ORIGIN is "${origin}", an address that other computers open`;
  if (hosts.length > 0) return `HOSTS is "${hosts.join(', ')}", names by which other computers open the ledger`;
  if (proxies.length > 0) return `TRUSTED_PROXY is "${proxies.join(', ')}", through which other computers come`;
  return null;
}
