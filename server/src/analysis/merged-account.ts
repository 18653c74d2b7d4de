import type { Account } from '../model/account.ts';
import { JoinedMap } from './joined-map.ts';
import { once } from './once.ts';

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
export class MergedAccount implements Account {
  readonly runs: Account['runs'];
  readonly feeds: Account['feeds'];
  readonly outputs: Account['outputs'];
  readonly boards: Account['boards'];
  readonly supplies: Account['supplies'];
  private readonly lists: { readonly [List in 'islands' | 'measured' | 'looks']: () => NonNullable<Account[List]> };

  constructor(parts: Parts, looks: () => NonNullable<Account['looks']>) {
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
    this.runs = join(({ runs }) => runs, placeOf);
    this.feeds = join(({ feeds }) => feeds, placeOf);
    this.outputs = join(
      ({ outputs }) => outputs,
      ({ board, supply }) => placeOf(board ?? supply),
    );
    this.boards = join(({ boards }) => boards, placeOf);
    this.supplies = join(({ supplies }) => supplies, placeOf);
    this.lists = {
      islands: once(() => all().flatMap(({ islands }) => islands)),
      measured: once(() => all().flatMap(({ measured }) => measured)),
      looks: once(looks),
    };
  }

  get islands(): Account['islands'] {
    return this.lists.islands();
  }

  get measured(): Account['measured'] {
    return this.lists.measured();
  }

  get looks(): NonNullable<Account['looks']> {
    return this.lists.looks();
  }
}
