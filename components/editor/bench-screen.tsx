'use client'
/** The bench: chooses the journal, keeps what is in hand, and lays it out for a desk or a phone. */
import { type KeyboardEvent, useCallback, useMemo, useState } from 'react'
import type { Aligned } from '@/components/photo/aligned-photos'
import { usePhotoUploads } from '@/components/photo/photo-uploads'
import { useStripRollouts } from '@/components/shaft/use-strip-rollouts'
import type { JournalModel } from './bench-model'
import { journalModel } from './bench-model'
import type { BenchState } from './bench-state'
import type { BenchStore } from './bench-store'
import { BenchDesk } from './bench-desk'
import { BenchPhone } from './bench-phone'
import { useBenchKeys } from './use-bench-keys'
import { useJournalBench } from './use-journal-bench'
import { useNarrow } from './use-narrow'

export function BenchScreen({
  store,
  state,
  aligned,
  journalName,
  onJournal,
}: {
  store: BenchStore
  state: BenchState
  aligned: Aligned
  journalName: string | null
  onJournal: (name: string) => void
}) {
  const { document } = state
  const models = useMemo(() => document.journals.map((row) => journalModel(document, row, aligned)), [document, aligned])
  const model = models.find((one) => one.row.value.id === journalName) ?? worstOf(models) ?? models[0]
  const pictures = useStripRollouts(models)
  const uploads = usePhotoUploads(document.shaft.id, store.refresh)
  if (!model) return null
  return (
    <JournalBench
      key={model.row.id}
      store={store}
      state={state}
      models={models}
      model={model}
      pictures={pictures}
      uploads={uploads}
      onJournal={onJournal}
    />
  )
}

type Shared = {
  store: BenchStore
  state: BenchState
  models: readonly JournalModel[]
  model: JournalModel
  pictures: ReturnType<typeof useStripRollouts>
  uploads: ReturnType<typeof usePhotoUploads>
  onJournal: (name: string) => void
}

function JournalBench({ store, state, models, model, pictures, uploads, onJournal }: Shared) {
  const narrow = useNarrow()
  const [photoRow, setPhotoRow] = useState<string | null>(null)
  /** The photograph that is being fitted; with another one in hand it is put down. */
  const [fitted, setFitted] = useState<string | null>(null)
  const bench = useJournalBench(store, state, model, photoRow)
  const { tools, photo } = bench
  const step = useCallback(
    (by: number) => {
      const next = models[models.findIndex((one) => one.row.id === model.row.id) + by]
      if (next) onJournal(next.row.value.id)
    },
    [models, model.row.id, onJournal],
  )
  const fitting = photo !== undefined && fitted === photo.id
  useBenchKeys({ store, tools, step, paused: fitting })
  const onKey = (event: KeyboardEvent<HTMLDivElement>) => bench.onKey(event)
  const shared = {
    store,
    state,
    models,
    model,
    pictures,
    uploads,
    bench,
    fitting,
    onFitting: (on: boolean) => setFitted(on ? (photo?.id ?? null) : null),
    onPhoto: setPhotoRow,
    onJournal: (rowId: string) => {
      const row = models.find((one) => one.row.id === rowId)
      if (row) onJournal(row.row.value.id)
    },
    onFiles: (files: readonly File[]) => uploads.add(model.row.value.id, files),
    onKey,
  }
  return narrow ? <BenchPhone {...shared} /> : <BenchDesk {...shared} />
}

export type BenchLayoutProps = Omit<Shared, 'onJournal'> & {
  bench: ReturnType<typeof useJournalBench>
  fitting: boolean
  onFitting: (fitting: boolean) => void
  onPhoto: (rowId: string) => void
  onJournal: (rowId: string) => void
  onFiles: (files: readonly File[]) => void
  onKey: (event: KeyboardEvent<HTMLDivElement>) => void
}

function worstOf(models: readonly JournalModel[]): JournalModel | undefined {
  const order = ['treat-as-cracked', 'hold', 'record'] as const
  for (const concern of order) {
    const found = models.find((model) => model.findings.journals[0]?.concern === concern)
    if (found) return found
  }
  return models.find((model) => model.photos.length > 0)
}
