import type { Account } from '../model/account.ts';
import { once } from '../model/once.ts';
import { JoinedMap } from './joined-map.ts';

/** Accounts of groups that have nothing to do with each other. */
export interface Parts {
  readonly count: number;
  readonly at: (index: number) => Account | undefined;
  /** In which of them a thing of a name is; undefined where that is not known. */
  readonly placeOf: (thing: { readonly kind: string; readonly name: string }) => number | undefined;
}

/**
 * The account of a plan, of those of its groups. Nothing is put together, nor solved, before it is asked for: what a hover
 * wants to know of a large plan stands in the account of one group.
 */
export function mergedAccount(parts: Parts, findLooks: () => NonNullable<Account['looks']>): Account {
  const { at, placeOf } = parts;
  const all = once(() => Array.from({ length: parts.count }, (_, index) => at(index) ?? []).flat());
  const join = <K, V>(part: (account: Account) => ReadonlyMap<K, V>, place: (key: K) => number | undefined) =>
    new JoinedMap<K, V>(
      () => all().map(part),
      (key) => {
        const account = at(place(key) ?? -1);
        return account === undefined ? undefined : part(account);
      },
    );
  const islands = once(() => all().flatMap((account) => account.islands));
  const measured = once(() => all().flatMap((account) => account.measured));
  const looks = once(findLooks);
  return {
    runs: join((account) => account.runs, placeOf),
    feeds: join((account) => account.feeds, placeOf),
    outputs: join(
      (account) => account.outputs,
      ({ board, supply }) => placeOf(board ?? supply),
    ),
    boards: join((account) => account.boards, placeOf),
    supplies: join((account) => account.supplies, placeOf),
    get islands() {
      return islands();
    },
    get measured() {
      return measured();
    },
    get looks() {
      return looks();
    },
  };
}
