import type { RawServer } from '../raw-server.ts';
import { generatePlan } from './generate.ts';
import type { Random } from './random.ts';
import { disturbance, METHODS, open, requestId, URI, wildEdit, wildParams } from './wild-messages.ts';

/** A client hears what it asked for after so many messages, and goes on. */
const BATCH = 50;

/**
 * Sends `count` messages to a server that is initialized: half of them requests, the others edits and what is no message
 * at all. Waits for every answer; gives how many requests there were. `between` is called when a batch is answered.
 */
export async function speakWildly(
  server: RawServer,
  random: Random,
  count: number,
  between: (index: number) => Promise<void> = async () => undefined,
): Promise<number> {
  server.send(open(URI, 1, generatePlan(random)));
  let asked: string[] = [];
  let requests = 0;
  for (let index = 0; index < count; index++) {
    const roll = random.next();
    if (roll < 0.5) {
      const id = requestId(index);
      asked.push(id);
      server.send({ id, method: random.pick(METHODS), params: wildParams(random) });
    } else if (roll < 0.7) server.send(wildEdit(random, index));
    else disturbance(random, index, server);
    if (index % BATCH !== BATCH - 1 && index !== count - 1) continue;
    await server.answersTo(asked);
    requests += asked.length;
    asked = [];
    await between(index);
  }
  return requests;
}
