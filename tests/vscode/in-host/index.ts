/**
 * Assertions that run inside VS Code's extension host. The compiled file is what both the served and the desktop
 * VS Code are given as their tests. Results go to the file named by FESTOON_RESULTS: a host that ends well without
 * having run anything would otherwise look like success.
 */
import { renameSync, writeFileSync } from 'node:fs';
import { tests } from './tests.ts';

export interface Result {
  readonly name: string;
  readonly error?: string;
}

const limitMs = 60_000;

export async function run(): Promise<void> {
  const results: Result[] = [];
  for (const [name, test] of Object.entries(tests)) results.push(await outcome(name, test));
  const file = process.env['FESTOON_RESULTS'];
  if (file === undefined) throw new Error('FESTOON_RESULTS names no file');
  writeFileSync(`${file}.part`, JSON.stringify(results));
  renameSync(`${file}.part`, file);
  const failed = results.filter(({ error }) => error !== undefined);
  if (failed.length > 0) throw new Error(`${failed.length} failed`);
}

async function outcome(name: string, test: () => Promise<void>): Promise<Result> {
  let timer: NodeJS.Timeout | undefined;
  const tooLong = new Promise<never>((_resolve, reject) => {
    timer = setTimeout(() => reject(new Error(`not done within ${limitMs / 1000} s`)), limitMs);
  });
  try {
    await Promise.race([test(), tooLong]);
    return { name };
  } catch (error) {
    return { name, error: error instanceof Error ? (error.stack ?? error.message) : String(error) };
  } finally {
    clearTimeout(timer);
  }
}
