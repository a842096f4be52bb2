/** A list whose entries are nothing but their place in it: points of a line, lines of a curve. */
import { createElement, Fragment, type ReactNode } from 'react'

export function Each<Item>({ of, children }: { of: readonly Item[]; children: (item: Item, index: number) => ReactNode }) {
  return createElement(Fragment, null, ...of.map(children))
}
