import type { Account } from '../model/account.ts';

/**
 * The account of groups that have nothing to do with each other. Each part is put together when it is first asked for:
 * what a hover or a keystroke needs of a large plan is mostly the account of one group.
 */
export class MergedAccount implements Account {
  private readonly accounts: () => readonly Account[];
  private readonly findLooks: () => NonNullable<Account['looks']>;
  private readonly made: { -readonly [Part in keyof Account]?: Account[Part] } = {};

  constructor(accounts: () => readonly Account[], looks: () => NonNullable<Account['looks']>) {
    this.accounts = accounts;
    this.findLooks = looks;
  }

  get islands(): Account['islands'] {
    this.made.islands ??= this.accounts().flatMap(({ islands }) => islands);
    return this.made.islands;
  }

  get measured(): Account['measured'] {
    this.made.measured ??= this.accounts().flatMap(({ measured }) => measured);
    return this.made.measured;
  }

  get runs(): Account['runs'] {
    this.made.runs ??= joined(this.accounts(), ({ runs }) => runs);
    return this.made.runs;
  }

  get feeds(): Account['feeds'] {
    this.made.feeds ??= joined(this.accounts(), ({ feeds }) => feeds);
    return this.made.feeds;
  }

  get outputs(): Account['outputs'] {
    this.made.outputs ??= joined(this.accounts(), ({ outputs }) => outputs);
    return this.made.outputs;
  }

  get boards(): Account['boards'] {
    this.made.boards ??= joined(this.accounts(), ({ boards }) => boards);
    return this.made.boards;
  }

  get supplies(): Account['supplies'] {
    this.made.supplies ??= joined(this.accounts(), ({ supplies }) => supplies);
    return this.made.supplies;
  }

  get looks(): NonNullable<Account['looks']> {
    this.made.looks ??= this.findLooks();
    return this.made.looks;
  }
}

function joined<K, V>(accounts: readonly Account[], part: (account: Account) => ReadonlyMap<K, V>): ReadonlyMap<K, V> {
  const [only] = accounts;
  if (accounts.length === 1 && only !== undefined) return part(only);
  const all = new Map<K, V>();
  for (const account of accounts) part(account).forEach((load, thing) => all.set(thing, load));
  return all;
}
