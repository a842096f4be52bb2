/** Which journals a shaft has, front to rear, from what a person can count on it. */
export type Throws = 'one' | 'two' | 'split'
export type PlannedJournal = {
  /** M1, P1, …: the name in the inspection file. */
  name: string
  kind: 'pin' | 'main'
  /** The crank throw a pin belongs to, from 0; both pins of a split pin share it. null for a main. */
  throwIndex: number | null
  /** Ends that are sharp steps because the pin is split there. */
  stepEnds: { front: boolean; rear: boolean }
}
export type Counted = {
  cylinders: number
  throws: Throws
  /** A main after every throw, or after every second one. */
  mainsEvery: 1 | 2
}

export const cylinderChoices = [1, 2, 3, 4, 5, 6, 8, 10, 12] as const

/** Mains stand at both ends and after every throw (or every second one); names count from the front. */
export function plannedJournals({ cylinders, throws, mainsEvery }: Counted): PlannedJournal[] {
  const throwCount = throws === 'one' ? cylinders : Math.ceil(cylinders / 2)
  const journals: PlannedJournal[] = [main(1)]
  let mains = 1
  let pins = 0
  for (let throwIndex = 0; throwIndex < throwCount; throwIndex += 1) {
    const left = cylinders - pins
    const pinsHere = throws === 'split' ? Math.min(2, left) : 1
    for (let place = 0; place < pinsHere; place += 1) {
      pins += 1
      journals.push(pin(pins, throwIndex, { front: place > 0, rear: place < pinsHere - 1 }))
    }
    const last = throwIndex === throwCount - 1
    if (last || (throwIndex + 1) % mainsEvery === 0) {
      mains += 1
      journals.push(main(mains))
    }
  }
  return journals
}

/** The same list after one journal was added or taken out by hand: names and throws counted anew from the front. */
export function renumbered(kinds: readonly ('pin' | 'main')[]): PlannedJournal[] {
  let mains = 0
  let pins = 0
  return kinds.map((kind) => {
    if (kind === 'main') {
      mains += 1
      return main(mains)
    }
    pins += 1
    return pin(pins, pins - 1, { front: false, rear: false })
  })
}

/** "Six cylinders: 7 mains, 6 pins". */
export function countSentence(journals: readonly { kind: 'pin' | 'main' }[]): string {
  const mains = journals.filter((journal) => journal.kind === 'main').length
  const pins = journals.length - mains
  return `${counted(mains, 'main')}, ${counted(pins, 'pin')}`
}

export function counted(count: number, word: string): string {
  return `${count} ${word}${count === 1 ? '' : 's'}`
}

function main(number: number): PlannedJournal {
  return { name: `M${number}`, kind: 'main', throwIndex: null, stepEnds: { front: false, rear: false } }
}

function pin(number: number, throwIndex: number, stepEnds: PlannedJournal['stepEnds']): PlannedJournal {
  return { name: `P${number}`, kind: 'pin', throwIndex, stepEnds }
}
