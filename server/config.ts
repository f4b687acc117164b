// The settings: their names, their defaults, what each means, and which combinations are refused. Knows nothing of process.env.

/** Where the ledger listens and keeps its files. */
export type Config = {
  /** The address to listen on. */
  host: string;
  /** The TCP port, 0 to 65535; 0 takes any free port. */
  port: number;
  /** The folder of the database, as given. */
  dataDir: string;
};

/** A setting a person may put in the environment. */
export type Setting = {
  name: 'HOST' | 'PORT' | 'DATA_DIR';
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
    sentence: 'The address to listen on; only this computer itself (127.0.0.1, ::1 or localhost) is allowed.',
  },
  { name: 'PORT', default: '4380', sentence: 'The port to listen on, 0 to 65535; 0 takes any free port.' },
  {
    name: 'DATA_DIR',
    default: './data',
    sentence: 'The folder that holds the ledger and its copies; made when absent.',
  },
];

const loopbackHosts = ['127.0.0.1', '::1', 'localhost'];

/** Reads the settings from an environment; what cannot be used comes back as sentences, one for each setting at fault. */
export function readConfig(
  environment: Readonly<Record<string, string | undefined>>,
): { status: 'ok'; config: Config } | { status: 'bad'; problems: string[] } {
  const [host, port, dataDir] = settings.map((setting) => environment[setting.name]?.trim() || setting.default);
  const problems: string[] = [];
  if (!loopbackHosts.includes(host!)) {
    problems.push(
      `HOST is "${host}", but Basking Ledger has no password yet, so anyone on that network could read and change it. ` +
        'Use 127.0.0.1, ::1 or localhost.',
    );
  }
  if (!/^\d{1,5}$/.test(port!) || Number(port) > 65_535) {
    problems.push(`PORT is "${port}", but a port is a whole number from 0 to 65535.`);
  }
  if (dataDir!.includes('\0')) problems.push('DATA_DIR holds a character that no folder name can have.');
  if (problems.length > 0) return { status: 'bad', problems };
  return { status: 'ok', config: { host: host!, port: Number(port), dataDir: dataDir! } };
}

/** The address a person opens in a browser, such as 'http://127.0.0.1:4380/'. */
export function publicUrl(host: string, port: number): string {
  return `http://${host.includes(':') ? `[${host}]` : host}:${port}/`;
}
