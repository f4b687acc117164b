// The command that sets the password, or removes it. It reads standard input and never an option, since options can be read by every
// program on a computer.

import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { Writable } from 'node:stream';
import { passwordCommand, passwordFaults } from './access-words.ts';
import { fail, runCommand } from './command.ts';
import { openAccessFile } from './db/access.ts';
import { hashPassword, judgePassword } from './password.ts';

process.exitCode = await runCommand(
  { env: process.env, options: process.argv.slice(2), usage: passwordCommand.usage },
  async (options, { dataDir, isDemo }) => {
    const isRemoval = options.length === 1 && options[0] === '--remove';
    if (isDemo || (options.length > 0 && !isRemoval)) return null;
    if (isRemoval) {
      keep(dataDir, null);
      console.log(passwordCommand.removed);
      return 0;
    }
    const typed = process.stdin.isTTY ? await askTwice() : await readOneLine();
    if (typed.status === 'bad') return fail(1, typed.sentence);
    const judged = judgePassword(typed.password);
    if (judged.status === 'bad') return fail(1, passwordFaults[judged.fault]);
    keep(dataDir, await hashPassword(typed.password));
    console.log(passwordCommand.set);
    if (judged.isShort) console.log(passwordCommand.isShort);
    return 0;
  },
);

function keep(dataDir: string, hash: string | null): void {
  mkdirSync(dataDir, { recursive: true, mode: 0o700 });
  const file = openAccessFile(join(dataDir, 'access.sqlite'));
  try {
    file.changePassword(hash, Date.now());
  } finally {
    file.close();
  }
}

type Typed = { status: 'ok'; password: string } | { status: 'bad'; sentence: string };

async function askTwice(): Promise<Typed> {
  // What is typed goes nowhere.
  const output = new Writable({ write: (_chunk, _encoding, done) => done() });
  const lines = createInterface({ input: process.stdin, output, terminal: true, historySize: 0 });
  const answers: string[] = [];
  process.stderr.write(passwordCommand.ask);
  for await (const line of lines) {
    process.stderr.write('\n');
    answers.push(line);
    if (answers.length === 2 || line === '') break;
    process.stderr.write(passwordCommand.askAgain);
  }
  lines.close();
  const [first = '', second] = answers;
  if (first === '') return { status: 'bad', sentence: passwordCommand.nothing };
  return first === second ? { status: 'ok', password: first } : { status: 'bad', sentence: passwordCommand.different };
}

async function readOneLine(): Promise<Typed> {
  let text = '';
  for await (const chunk of process.stdin.setEncoding('utf8')) {
    text += chunk;
    // Far more than any password that is taken.
    if (text.length > 65_536) break;
  }
  const [password = '', ...rest] = text.replace(/^\uFEFF/, '').split(/\r?\n/);
  if (rest.some((line) => line !== '')) return { status: 'bad', sentence: passwordCommand.moreLines };
  if (password === '') return { status: 'bad', sentence: passwordCommand.nothing };
  return { status: 'ok', password };
}
