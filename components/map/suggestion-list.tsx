'use client'
/** Suggested marks as a list, strongest first: why each is suggested, and to accept, trim or reject it by tap or key. */
import type { KeyboardEvent } from 'react'
import { Button } from '@/components/ui/button'
import { LongWork } from '@/components/ui/long-work'
import styles from './suggestion-list.module.css'
import type { Suggestion, Suggestions } from './use-suggestions'

const caution = 'No crack test: what is not suggested may still be there. Nothing here counts until you accept it.'

export function SuggestionList({ suggestions }: { suggestions: Suggestions }) {
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
      {open ? <OpenSuggestions open={open} suggestions={suggestions} /> : null}
    </section>
  )
}

function OpenSuggestions({ open, suggestions }: { open: readonly Suggestion[]; suggestions: Suggestions }) {
  const { chosen, choose, accept, trim, reject, drawn } = suggestions
  const besides = drawn > 0 ? `${drawn} ${open.length > 0 ? 'more ' : ''}${drawn === 1 ? 'lies' : 'lie'} on marks that are drawn. ` : ''
  const at = open.findIndex(({ key }) => key === chosen)
  const current = open[at]
  function key(event: KeyboardEvent<HTMLOListElement>) {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    const letter = event.key.toLowerCase()
    if (event.key === 'ArrowDown') choose(open[Math.min(open.length - 1, at + 1)]?.key ?? null)
    else if (event.key === 'ArrowUp') choose(open[Math.max(0, at - 1)]?.key ?? null)
    else if (letter === 'a' && current) accept(current)
    else if (letter === 't' && current) trim(current)
    else if ((event.key === 'Delete' || letter === 'r') && current) reject(current)
    else return
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
      <ol className={styles.list} onKeyDown={key}>
        {open.map((suggestion, index) => (
          <li key={suggestion.key} aria-current={suggestion.key === chosen}>
            <button type="button" className="btn flat" aria-pressed={suggestion.key === chosen} onClick={() => choose(suggestion.key)}>
              Suggestion {index + 1}, score {suggestion.score.toFixed(2)}
            </button>
            {suggestion.key === chosen ? (
              <>
                <span className="note">{suggestion.reason}</span>
                <span className={styles.acts}>
                  <Button onPress={() => accept(suggestion)}>Accept</Button>
                  <Button onPress={() => trim(suggestion)}>Trim</Button>
                  <Button onPress={() => reject(suggestion)}>Reject</Button>
                </span>
              </>
            ) : null}
          </li>
        ))}
      </ol>
    </>
  )
}
