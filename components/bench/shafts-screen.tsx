'use client'
/** The first page: every shaft on the bench, found by tag or owner, with its word of concern and its next step. */
import { useEffect, useRef, useState } from 'react'
import { z } from 'zod'
import { type ApiFailure, apiRequest, failureSentence } from '@/components/ui/api-client'
import { Button, ButtonLink } from '@/components/ui/button'
import { ConcernWord } from '@/components/ui/concern-word'
import { isTyping } from '@/components/ui/foot'
import { Notice } from '@/components/ui/notice'
import { shaftName } from '@/components/ui/shaft-words'
import { Shell } from '@/components/ui/shell'
import { Stops } from '@/components/ui/stops'
import { type ShaftRow, type ShaftSummary, shaftRowSchema, shaftSummarySchema } from '@/lib/model/rows'
import { EmptyBench } from './empty-bench'
import { ImportFile } from './import-file'
import { ShaftItem } from './shaft-item'
import styles from './shafts.module.css'
import { useFindings } from './use-findings'

type List = { kind: 'loading' } | { kind: 'failed'; failure: ApiFailure } | { kind: 'ready'; shafts: ShaftSummary[] }
type Filter = 'all' | 'photograph' | 'marked'
const listSchema = z.object({ shafts: z.array(shaftSummarySchema) })

export function ShaftsScreen() {
  const [list, setList] = useState<List>({ kind: 'loading' })
  const [search, setSearch] = useState('')
  const [filter, setFilter] = useState<Filter>('all')
  const [removed, setRemoved] = useState<ShaftRow[]>([])
  const [trouble, setTrouble] = useState<ApiFailure | null>(null)
  const [asked, setAsked] = useState(0)
  const find = useRef<HTMLInputElement>(null)

  // biome-ignore lint/correctness/useExhaustiveDependencies: asking again is a change of `asked`
  useEffect(() => {
    const stop = new AbortController()
    apiRequest(listSchema, { path: '/api/shafts', signal: stop.signal }).then(
      (answer) => setList(answer.ok ? { kind: 'ready', shafts: answer.value.shafts } : { kind: 'failed', failure: answer.reason }),
      () => {},
    )
    return () => stop.abort()
  }, [asked])

  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (event.key !== '/' || event.ctrlKey || event.metaKey || event.altKey || isTyping(event.target)) return
      event.preventDefault()
      find.current?.focus()
    }
    window.addEventListener('keydown', press)
    return () => window.removeEventListener('keydown', press)
  }, [])

  const shafts = list.kind === 'ready' ? list.shafts : []
  const findings = useFindings(shafts)
  const reload = () => setAsked((before) => before + 1)

  async function takeOff(row: ShaftRow) {
    const answer = await apiRequest(shaftRowSchema, { method: 'DELETE', path: `/api/shafts/${row.id}`, version: row.version })
    setTrouble(answer.ok ? null : answer.reason)
    if (answer.ok) setRemoved((before) => [...before, answer.value])
    reload()
  }

  async function putBack(row: ShaftRow) {
    const answer = await apiRequest(shaftRowSchema, { method: 'POST', path: `/api/shafts/${row.id}/restore`, version: row.version })
    setTrouble(answer.ok ? null : answer.reason)
    if (answer.ok) setRemoved((before) => before.filter((other) => other.id !== row.id))
    reload()
  }

  const notices = (
    <>
      {removed.map((row) => (
        <Notice
          key={row.id}
          title={`W.O. ${row.shaft.id}${shaftName(row.shaft) ? `, ${shaftName(row.shaft)},` : ''} is off the bench.`}
          acts={<Button onPress={() => putBack(row)}>Put it back</Button>}
        />
      ))}
      {trouble ? (
        <Notice weighty urgent title="That was not done." acts={<Button onPress={reload}>Fetch the list again</Button>}>
          <p>{failureSentence(trouble)}</p>
        </Notice>
      ) : null}
    </>
  )

  if (list.kind === 'failed')
    return (
      <Shell className={styles.page}>
        <h1>Shafts</h1>
        <Notice weighty urgent title="The shafts could not be fetched." acts={<Button onPress={reload}>Try again</Button>}>
          <p>{failureSentence(list.failure)}</p>
        </Notice>
      </Shell>
    )
  if (list.kind === 'loading')
    return (
      <Shell className={styles.page}>
        <h1>Fetching the shafts …</h1>
      </Shell>
    )
  if (shafts.length === 0)
    return (
      <Shell>
        <EmptyBench notices={notices} />
      </Shell>
    )

  const shown = shafts.filter((summary) => matches(summary, search) && passes(summary, filter))
  return (
    <Shell className={styles.page}>
      <div className={styles.head}>
        <h1>Shafts</h1>
        <span className="soft">{shown.length === shafts.length ? shafts.length : `${shown.length} of ${shafts.length}`}</span>
        <label className={`box ${styles.find}`}>
          <span className="unseen">Find by tag or owner</span>
          <input
            ref={find}
            type="search"
            value={search}
            placeholder="Find by tag or owner"
            onChange={(event) => setSearch(event.target.value)}
            onKeyDown={(event) => {
              if (event.key === 'Escape') setSearch('')
            }}
          />
          <kbd>/</kbd>
        </label>
        <Stops
          label="Show"
          wraps
          value={filter}
          onChange={setFilter}
          stops={[
            { value: 'all', label: 'All' },
            { value: 'photograph', label: 'To photograph' },
            { value: 'marked', label: 'With marks' },
          ]}
        />
        <div className={styles.put}>
          <ButtonLink kind="main" href="/shafts/new">
            Put a shaft on the bench
          </ButtonLink>
        </div>
      </div>
      <div className={styles.notices}>{notices}</div>
      {shown.length === 0 ? (
        <Notice
          title="No shaft is like that."
          acts={
            <Button
              onPress={() => {
                setSearch('')
                setFilter('all')
              }}
            >
              Show all {shafts.length}
            </Button>
          }
        />
      ) : (
        <ul className={styles.list}>
          {shown.map((summary) => (
            <ShaftItem
              key={summary.shaft.id}
              summary={summary}
              findings={findings.get(summary.shaft.id) ?? 'asked'}
              onTakeOff={() => takeOff(summary.shaft)}
            />
          ))}
        </ul>
      )}
      <div className={styles.key}>
        <span className="soft">A shaft takes the word of its worst mark:</span>
        <ConcernWord concern="treat-as-cracked" />
        <ConcernWord concern="hold" />
        <ConcernWord concern="record" />
        <span className="soft">Dashed box: not photographed yet. Bare strip: nothing recorded, which does not mean sound.</span>
      </div>
      <ImportFile />
    </Shell>
  )
}

function matches({ shaft }: ShaftSummary, search: string): boolean {
  const wanted = search.trim().toLocaleLowerCase().split(/\s+/)
  const text = `${shaft.shaft.id} ${shaft.shaft.label}`.toLocaleLowerCase()
  return wanted.every((word) => text.includes(word))
}

function passes({ journals }: ShaftSummary, filter: Filter): boolean {
  switch (filter) {
    case 'all':
      return true
    case 'photograph':
      return journals.length === 0 || journals.some((journal) => journal.photos === 0)
    case 'marked':
      return journals.some((journal) => journal.marks > 0)
  }
}
