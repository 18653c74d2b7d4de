import { join } from 'node:path';
import type { Disk } from './io.ts';

/** The file of a folder that holds the plan as a whole: plan.festoon, or else the only one with a plan statement. */
export function mainPlanIn(disk: Disk, folder: string): string | undefined {
  const names = disk.list(folder).filter((name) => name.endsWith('.festoon'));
  if (names.includes('plan.festoon')) return join(folder, 'plan.festoon');
  const found = names.filter((name) => {
    try {
      return /^[ \t\f\v\u00a0\ufeff]*plan\b/m.test(new TextDecoder().decode(disk.read(join(folder, name))));
    } catch {
      return false;
    }
  });
  const [only] = found.length > 0 ? found : names;
  return only === undefined || (found.length === 0 && names.length > 1) ? undefined : join(folder, only);
}
