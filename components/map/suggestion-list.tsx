'use client'
/** Suggested marks as a list, strongest first: why each is suggested, and to accept, trim or reject it by tap or key. */
import { type KeyboardEvent, useEffect, useRef } from 'react'
import { Button } from '@/components/ui/button'
import { LongWork } from '@/components/ui/long-work'
import { useUnits } from '@/components/ui/preferences'
import { formatLength } from '@/lib/model/units'
import styles from './suggestion-list.module.css'
import type { Suggestion, Suggestions } from './use-suggestions'

const caution = 'No crack test: what is not suggested may still be there. Nothing here counts until you accept it.'

/** "suggestion 3". */
export function suggestionWord({ open }: Suggestions, suggestion: Suggestion): string {
  return `suggestion ${(open ?? []).indexOf(suggestion) + 1}`
}

export function SuggestionList({
  suggestions,
  onShow,
}: {
  suggestions: Suggestions
  /** Brings the map into view, where it is not beside the list. */
  onShow?: () => void
}) {
  const { work, failed, open, stale, photos, look, stop } = suggestions
  if (work)
    return (
      <div className={styles.suggestions}>
        <LongWork
          doing={`Looking for marks in the photographs: ${Math.min(work.of, work.done + 1)} of ${work.of}`}
          done={work.done}
          of={work.of}
          meanwhile="You can go on marking."
          onStop={stop}
        />
      </div>
    )
  return (
    <section className={styles.suggestions} aria-label="Suggested marks">
      {failed ? <p className="note">Looking for marks came to nothing: {failed} Try again, or draw the marks by hand.</p> : null}
      {stale ? <p className="note">The photographs or their fits have changed since: look again.</p> : null}
      <Button notYet={photos > 0 ? undefined : 'Look for marks: no photograph is fitted yet'} onPress={look}>
        {open ? 'Look for marks again' : 'Look for marks in the photographs'}
      </Button>
      {open ? <OpenSuggestions open={open} suggestions={suggestions} onShow={onShow} /> : null}
    </section>
  )
}

function OpenSuggestions({ open, suggestions, onShow }: { open: readonly Suggestion[]; suggestions: Suggestions; onShow?: () => void }) {
  const { chosen, choose, accept, trim, reject, drawn } = suggestions
  const units = useUnits()
  const besides = drawn > 0 ? `${drawn} ${open.length > 0 ? 'more ' : ''}${drawn === 1 ? 'lies' : 'lie'} on marks that are drawn. ` : ''
  const at = open.findIndex(({ key }) => key === chosen)
  const current = open[at]
  const list = useRef<HTMLOListElement>(null)
  const byKey = useRef(false)
  // the button that had the focus may be gone: keys go on with the one that is chosen now
  useEffect(() => {
    if (byKey.current) list.current?.querySelector<HTMLElement>(`[data-suggestion="${chosen}"]`)?.focus()
    byKey.current = false
  }, [chosen])
  function key(event: KeyboardEvent<HTMLOListElement>) {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    const letter = event.key.toLowerCase()
    if (event.key === 'ArrowDown') choose(open[Math.min(open.length - 1, at + 1)]?.key ?? null)
    else if (event.key === 'ArrowUp') choose(open[Math.max(0, at - 1)]?.key ?? null)
    else if (letter === 'a' && current) accept(current)
    else if (letter === 't' && current) trim(current)
    else if ((event.key === 'Delete' || letter === 'r') && current) reject(current)
    else return
    byKey.current = true
    event.preventDefault()
    event.stopPropagation()
  }
  if (open.length === 0)
    return (
      <p className="note">
        No suggestion is left. {besides}
        {caution}
      </p>
    )
  return (
    <>
      <p className="note">
        {open.length} suggested {open.length === 1 ? 'mark' : 'marks'}, strongest first, dashed on the rollout. {besides}
        {caution} <span className={styles.keys}>In the list: arrows choose, A accepts, T trims, R or Del rejects.</span>
      </p>
      <ol ref={list} className={styles.list} onKeyDown={key}>
        {open.map((suggestion, index) => (
          <li key={suggestion.key} aria-current={suggestion.key === chosen}>
            <button
              type="button"
              className="btn flat"
              aria-pressed={suggestion.key === chosen}
              data-suggestion={suggestion.key}
              onClick={() => {
                choose(suggestion.key)
                onShow?.()
              }}
            >
              Suggestion {index + 1}, score {suggestion.score.toFixed(2)}, {formatLength(suggestion.lengthMm, units)} long
            </button>
            {suggestion.key === chosen && !onShow ? (
              <>
                <span className="note">{suggestion.reason}</span>
                <Decisions suggestions={suggestions} suggestion={suggestion} />
              </>
            ) : null}
          </li>
        ))}
      </ol>
    </>
  )
}

/** On a phone, below the map that shows it: the suggested mark, why, and what to do with it. */
export function SuggestionInHand({ suggestions, suggestion }: { suggestions: Suggestions; suggestion: Suggestion }) {
  const open = suggestions.open ?? []
  const units = useUnits()
  return (
    <section className={styles.inHand} aria-label="Suggested mark" data-next-step>
      <p>
        <b>
          Suggestion {open.indexOf(suggestion) + 1} of {open.length}, score {suggestion.score.toFixed(2)},{' '}
          {formatLength(suggestion.lengthMm, units)} long
        </b>{' '}
        <span className="note">{suggestion.reason}</span>
      </p>
      <span className={styles.acts}>
        <Decisions suggestions={suggestions} suggestion={suggestion} />
        <Button kind="flat" onPress={() => suggestions.choose(null)}>
          Later
        </Button>
      </span>
    </section>
  )
}

function Decisions({ suggestions: { accept, trim, reject }, suggestion }: { suggestions: Suggestions; suggestion: Suggestion }) {
  return (
    <span className={styles.acts}>
      <Button onPress={() => accept(suggestion)}>Accept</Button>
      <Button onPress={() => trim(suggestion)}>Trim</Button>
      <Button onPress={() => reject(suggestion)}>Reject</Button>
    </span>
  )
}
