/** Stands for no node, row, vertex or element where their numbers, from 0 on, are kept in an array. */
export const none = -1;
