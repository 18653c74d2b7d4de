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
export function mergedAccount(parts: Parts, findLooks: () => Looks): Account {
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
  const lists = new Lists(
    once(() => all().flatMap(({ islands }) => islands)),
    once(() => all().flatMap(({ measured }) => measured)),
    once(findLooks),
  );
  return Object.assign(lists, {
    runs: join((account) => account.runs, placeOf),
    feeds: join((account) => account.feeds, placeOf),
    outputs: join(
      (account) => account.outputs,
      ({ board, supply }) => placeOf(board ?? supply),
    ),
    boards: join((account) => account.boards, placeOf),
    supplies: join((account) => account.supplies, placeOf),
  });
}

type Looks = NonNullable<Account['looks']>;

/** What is put together when it is first asked for. */
class Lists {
  private readonly findIslands: () => Account['islands'];
  private readonly findMeasured: () => Account['measured'];
  private readonly findLooks: () => Looks;

  constructor(islands: () => Account['islands'], measured: () => Account['measured'], looks: () => Looks) {
    this.findIslands = islands;
    this.findMeasured = measured;
    this.findLooks = looks;
  }

  get islands(): Account['islands'] {
    return this.findIslands();
  }

  get measured(): Account['measured'] {
    return this.findMeasured();
  }

  get looks(): Looks {
    return this.findLooks();
  }
}
