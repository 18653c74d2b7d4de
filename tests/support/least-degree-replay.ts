/**
 * Approximate minimum degree on plain sets, step by step beside an order that somebody found: whether each vertex was one
 * that could be taken next. The rules are those of the paper (P. R. Amestoy, T. A. Davis, I. S. Duff, SIAM J. Matrix Anal.
 * Appl. 17, 1996, 886-905): the bound of a degree (its formula 4), absorption, also of elements that the new one covers,
 * vertices with equal neighbours as one, and those that only the pivot joins along with it.
 */
import type { Graph } from './fill.ts';

interface Vertex {
  readonly name: number;
  /** The vertices merged in it, itself first. */
  readonly members: number[];
  elements: Set<Element>;
  plain: Set<Vertex>;
  degree: number;
  /** When its degree was last found: negative before the first step. */
  since: number;
}

interface Element {
  vertices: Set<Vertex>;
}

const weight = (vertices: Iterable<Vertex>) => [...vertices].reduce((sum, { members }) => sum + members.length, 0);
const without = (own: Set<Vertex>, other: Set<Vertex>) => new Set([...own].filter((vertex) => !other.has(vertex)));
const isSame = <T>(a: Set<T>, b: Set<T>) => a.size === b.size && [...a].every((each) => b.has(each));

/** What is wrong with an order: empty when each step takes one of least degree, and of these the one that waited longest. */
export function faultsOf(graph: Graph, order: Int32Array): string[] {
  const n = graph.length;
  const faults: string[] = [];
  const rank = new Map([...order].map((name, place) => [name, place]));
  const isDense = (name: number) => graph[name]!.size > 10 * Math.sqrt(n);
  const left = new Map<number, Vertex>();
  graph.forEach(({ size }, name) => {
    if (isDense(name)) return;
    const own = { name, members: [name], elements: new Set<Element>(), plain: new Set<Vertex>() };
    left.set(name, { ...own, degree: size, since: name - n });
  });
  for (const vertex of left.values())
    for (const other of graph[vertex.name]!) if (!isDense(other)) vertex.plain.add(left.get(other)!);

  let place = 0;
  let remaining = left.size;
  const expect = (members: readonly number[], what: string) => {
    const own = [...order.slice(place, place + members.length)];
    if (!isSame(new Set(own), new Set(members))) faults.push(`${what}: ${own} for ${members}`);
    place += members.length;
  };
  for (let step = 0; left.size > 0 && faults.length === 0; step++) {
    const pivot = left.get(order[place]!);
    if (pivot === undefined) return [`step ${step}: ${order[place]} is taken or merged`];
    for (const other of left.values()) {
      const isBetter = other.degree < pivot.degree || (other.degree === pivot.degree && other.since < pivot.since);
      if (isBetter) faults.push(`step ${step}: ${other.name} before ${pivot.name}`);
    }
    left.delete(pivot.name);
    remaining -= pivot.members.length;
    const gone = eliminate(pivot, remaining, step, rank);
    remaining -= weight(gone.along);
    for (const { name } of [...gone.along, ...gone.merged]) left.delete(name);
    expect([...pivot.members, ...gone.along.flatMap(({ members }) => members)], `step ${step}`);
  }
  const dense = [...graph.keys()].filter(isDense).sort((a, b) => graph[a]!.size - graph[b]!.size || a - b);
  if (String([...order.slice(place)]) !== String(dense)) faults.push('the dense ones, least first');
  return faults;
}

/** Joins the pivot's neighbours in an element; gives what goes along with the pivot, and what is merged in others. */
function eliminate(pivot: Vertex, remaining: number, step: number, rank: ReadonlyMap<number, number>) {
  const joined = new Set([...pivot.plain, ...[...pivot.elements].flatMap(({ vertices }) => [...vertices])]);
  joined.delete(pivot);
  const outside = new Map<Element, number>();
  for (const vertex of joined) {
    for (const element of vertex.elements) outside.set(element, weight(without(element.vertices, joined)));
  }
  const element: Element = { vertices: joined };
  const all = weight(joined);
  for (const vertex of joined) {
    vertex.elements = new Set([...vertex.elements].filter((e) => !pivot.elements.has(e) && outside.get(e)! > 0));
    vertex.plain.delete(pivot);
    vertex.plain = without(vertex.plain, joined);
    const beyond = [...vertex.elements].reduce((sum, e) => sum + outside.get(e)!, weight(vertex.plain));
    vertex.degree = Math.min(vertex.degree, beyond) + all - vertex.members.length;
    vertex.since = step;
    vertex.elements.add(element);
  }
  const along = [...joined].filter(({ elements, plain }) => elements.size === 1 && plain.size === 0);
  for (const vertex of along) joined.delete(vertex);
  // Of those with equal neighbours the one that the order has first stands for all.
  const merged: Vertex[] = [];
  const first: Vertex[] = [];
  for (const vertex of [...joined].sort((a, b) => rank.get(a.name)! - rank.get(b.name)!)) {
    const twin = first.find(({ elements, plain }) => isSame(elements, vertex.elements) && isSame(plain, vertex.plain));
    if (twin === undefined) {
      first.push(vertex);
      continue;
    }
    twin.members.push(...vertex.members);
    twin.degree -= vertex.members.length;
    merged.push(vertex);
  }
  for (const vertex of merged) {
    for (const { vertices } of vertex.elements) vertices.delete(vertex);
    for (const other of vertex.plain) other.plain.delete(vertex);
  }
  const left = remaining - weight(along);
  for (const vertex of first) vertex.degree = Math.min(vertex.degree, left - vertex.members.length);
  return { along, merged };
}
