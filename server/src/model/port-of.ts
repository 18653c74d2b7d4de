import type { Origin } from './finding.ts';
import type { Run } from './plan.ts';

/** The port of a run as people write it: `box.1`; a question mark for what the plan does not say. */
export function portName({ controller, port }: Run): string {
  return `${controller?.name ?? '?'}.${port ?? '?'}`;
}

/** Where a run names its port; the run itself where it does not. */
export function portOrigin(run: Run): Origin {
  return run.portOrigin ?? run.origin;
}
