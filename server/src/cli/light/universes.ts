/** The slots of universes, 512 octets each, by the number of the universe. */
export type Universes = ReadonlyMap<number, Uint8Array>;
