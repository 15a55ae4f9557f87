//! Both real ends over a bad line.

use super::bench::{Bench, Faults, UTC_MS};
use crate::link::Event;

#[test]
fn a_day_without_a_console_comes_over_at_once_and_in_order() {
    let mut bench = Bench::new(1);
    for _ in 0..200 {
        bench.memory.append();
    }
    bench.run(5_000);
    bench.assert_complete();
    assert_eq!(bench.events.first().map(|event| matches!(event, Event::Connected(_))), Some(true));
    assert_eq!(bench.count(|event| matches!(event, Event::Gap { .. } | Event::Lost)), 0);
}

#[test]
fn a_record_comes_over_as_it_is_written() {
    let mut bench = Bench::new(2);
    bench.run(1_000);
    for written in 1..=20 {
        bench.memory.append();
        bench.run(300);
        assert_eq!(bench.committed().len(), written);
    }
    bench.assert_complete();
}

#[test]
fn a_bad_line_delays_and_loses_nothing() {
    for seed in 0..60 {
        let mut bench = Bench::new(seed);
        bench.faults = Faults::ROUGH;
        for _ in 0..60 {
            if bench.chance.one_in(2) {
                bench.memory.append();
            }
            bench.run(400);
        }
        bench.faults = Faults::default();
        bench.run(15_000);
        bench.assert_complete();
    }
}

#[test]
fn killed_consoles_and_reboots_lose_nothing_and_double_nothing() {
    let (mut kills, mut reboots) = (0, 0);
    for seed in 100..160 {
        let mut bench = Bench::new(seed);
        bench.faults = Faults { lost: 15, doubled: 15, soiled: 15, cut: 15, damaged: 15 };
        bench.kill = 4;
        for _ in 0..80 {
            for _ in 0..bench.chance.below(4) {
                bench.memory.append();
            }
            if bench.chance.one_in(6) {
                bench.reboot_keypad();
                reboots += 1;
            }
            if bench.chance.one_in(8) {
                bench.kill_console();
                kills += 1;
            }
            let pause = bench.chance.below(700);
            bench.run(pause);
        }
        (bench.faults, bench.kill) = (Faults::default(), 0);
        bench.run(15_000);
        bench.assert_complete();
    }
    assert!(kills > 300 && reboots > 300);
}

#[test]
fn killed_between_commit_and_acknowledgement_the_console_acknowledges_when_it_is_back() {
    let mut bench = Bench::new(3);
    bench.run(500);
    bench.memory.append();
    while bench.committed().is_empty() {
        bench.step();
    }
    bench.kill_console();
    assert_eq!(bench.memory.acknowledged, 0);
    bench.run(500);
    bench.assert_complete();
    assert_eq!(bench.count(|event| matches!(event, Event::Records { .. })), 1);
}

#[test]
fn records_that_another_console_took_are_an_explicit_gap() {
    let mut bench = Bench::new(4);
    for _ in 0..9 {
        bench.memory.append();
    }
    bench.memory.records.retain(|seq, _| *seq > 5 && *seq != 8);
    bench.memory.acknowledged = 5;
    bench.run(1_000);
    let rows: std::vec::Vec<bool> = bench.committed().iter().map(Option::is_some).collect();
    assert_eq!(rows, [false, false, false, false, false, true, true, false, true]);
    assert_eq!(bench.memory.acknowledged, 9);
    let gaps = bench.events.iter().filter_map(|event| match event {
        Event::Gap { from, to, .. } => Some((*from, *to)),
        _ => None,
    });
    assert!(gaps.eq([(1, 5), (8, 8)]));
}

#[test]
fn a_long_stretch_of_lost_records_is_passed_in_steps() {
    let mut bench = Bench::new(5);
    for _ in 0..500 {
        bench.memory.append();
    }
    bench.memory.records.retain(|seq, _| *seq == 1 || *seq > 450);
    bench.run(5_000);
    assert_eq!(bench.committed().iter().filter(|row| row.is_none()).count(), 449);
    assert_eq!((bench.committed().len(), bench.memory.acknowledged), (500, 500));
}

#[test]
fn a_keypad_whose_memory_was_put_back_is_not_pulled_from() {
    let mut bench = Bench::new(6);
    for _ in 0..10 {
        bench.memory.append();
    }
    bench.run(1_000);
    bench.assert_complete();
    (bench.memory.next, bench.memory.acknowledged) = (7, 4);
    bench.reboot_keypad();
    bench.run(3_000);
    let told = |event: &Event| matches!(event, Event::RolledBack { last: 10, next: 7, .. });
    assert_eq!(bench.count(told), 1);
    bench.memory.append();
    bench.run(5_000);
    assert_eq!((bench.committed().len(), bench.memory.acknowledged), (10, 4));
    let ticks_ms = bench.now_ms - bench.started_ms;
    assert!(bench.keypad.console_present(ticks_ms), "the console is there all the same");

    // A new journal, begun on the keypad itself, is another matter.
    (bench.memory.journal, bench.memory.next, bench.memory.acknowledged) = (78, 1, 0);
    bench.memory.records.clear();
    bench.memory.committed = 0;
    bench.memory.append();
    bench.run(3_000);
    bench.assert_complete();
}

#[test]
fn a_keypad_that_was_started_again_is_greeted_again_and_dated_anew() {
    let mut bench = Bench::new(7);
    bench.run(2_000);
    bench.reboot_keypad();
    bench.run(2_000);
    let boots = bench.events.iter().filter_map(|event| match event {
        Event::Connected(ack) => Some(ack.boot),
        _ => None,
    });
    assert!(boots.eq([1, 2]));
    for event in &bench.events {
        if let Event::Anchor { boot, ticks, utc_ms, within_ms } = event {
            let started = if *boot == 1 { 0 } else { 2_000 };
            let truth = UTC_MS + started + i64::from(*ticks);
            assert!((truth - utc_ms).abs() <= i64::from(*within_ms), "{event:?}");
        }
    }
}

#[test]
fn an_unplugged_keypad_is_lost_once_and_found_again() {
    let mut bench = Bench::new(8);
    bench.run(2_000);
    bench.plugged = false;
    bench.run(30_000);
    bench.memory.append();
    bench.run(30_000);
    assert_eq!(bench.count(|event| matches!(event, Event::Lost)), 1);
    let ticks_ms = bench.now_ms - bench.started_ms;
    assert!(!bench.keypad.console_present(ticks_ms));
    bench.plugged = true;
    bench.run(6_000);
    bench.assert_complete();
    assert_eq!(bench.count(|event| matches!(event, Event::Connected(_))), 2);
}

#[test]
fn a_quiet_line_stays_awake_and_costs_little() {
    let mut bench = Bench::new(12);
    bench.run(2_000);
    let before = (bench.to_keypad.sent, bench.to_host.sent);
    for _ in 0..60 {
        bench.run(1_000);
        let ticks_ms = bench.now_ms - bench.started_ms;
        assert!(bench.keypad.console_present(ticks_ms));
        let utc_ms = bench.keypad.utc_ms(ticks_ms).unwrap();
        assert!((utc_ms - UTC_MS - bench.now_ms as i64).abs() <= 50);
    }
    let bytes = bench.to_keypad.sent - before.0 + bench.to_host.sent - before.1;
    std::println!("a quiet minute: {bytes} B both ways");
    assert!(bytes < 5_000);
}

#[test]
fn deadlines_are_kept_without_polling_in_between() {
    let mut bench = Bench::new(13);
    bench.run(3_000);
    let (mut now_ms, mut woken) = (bench.now_ms, 0);
    let mut buffer = [0; crate::link::MAX_WIRE];
    // Nobody answers any more: the host alone, woken only when it asks for it.
    while now_ms < 63_000 {
        now_ms = now_ms.max(bench.host.next_deadline(now_ms).unwrap());
        let sent = bench.host.poll_transmit(&mut buffer, now_ms).is_some();
        let told = core::iter::from_fn(|| bench.host.poll_event()).count() > 0;
        assert!(sent || told, "woken for nothing at {now_ms}");
        woken += 1;
    }
    assert!((15..30).contains(&woken), "{woken} tries in a minute");
}

#[test]
fn a_slow_commit_is_waited_for_and_not_overtaken() {
    let mut bench = Bench::new(14);
    bench.slow = true;
    for _ in 0..30 {
        bench.memory.append();
    }
    bench.run(10_000);
    // The memory checks that nothing uncommitted is acknowledged.
    assert_eq!(bench.memory.acknowledged, 0);
    assert_eq!(
        bench.count(|event| matches!(event, Event::Records { .. })),
        1,
        "no batch before it is committed"
    );
    assert!(bench.keypad.console_present(bench.now_ms));
    assert_eq!(bench.count(|event| matches!(event, Event::Lost)), 0);
    // Half of it is committed, then the rest.
    let told = bench.committed().len() as u32;
    assert!((4..30).contains(&told));
    bench.memory.committed = told - 2;
    bench.host.committed(told - 2);
    bench.run(500);
    assert_eq!(bench.memory.acknowledged, told - 2);
    bench.slow = false;
    bench.memory.committed = told;
    bench.host.committed(u32::MAX);
    bench.run(2_000);
    bench.assert_complete();
}

#[test]
fn a_failed_commit_is_begun_again_and_nothing_stale_is_told() {
    let mut bench = Bench::new(15);
    for _ in 0..5 {
        bench.memory.append();
    }
    bench.memory.records.remove(&3);
    let mut buffer = [0; crate::link::MAX_WIRE];
    let mut event = None;
    while !matches!(event, Some(Event::Records { .. })) {
        bench.now_ms += 1;
        if let Some(bytes) = bench.host.poll_transmit(&mut buffer, bench.now_ms) {
            bench.keypad.feed(&mut bench.memory, bytes, bench.now_ms);
        }
        if let Some(bytes) = bench.keypad.poll_transmit(&mut bench.memory, &mut buffer, bench.now_ms) {
            bench.host.feed(bytes, bench.now_ms);
        }
        event = bench.host.poll_event();
        if let Some(Event::Connected(_)) = &event {
            bench.host.resume(0, 1);
        }
    }
    // Records 1 and 2 were told, the gap behind them was not yet; the disk is full.
    bench.host.restart(bench.now_ms);
    bench.host.committed(2);
    assert_eq!(bench.host.poll_event(), None);
    bench.run(2_000);
    let rows: std::vec::Vec<bool> = bench.committed().iter().map(Option::is_some).collect();
    assert_eq!(rows, [true, true, false, true, true]);
    assert_eq!(bench.memory.acknowledged, 5);
}

#[test]
fn while_nothing_can_be_committed_the_keypad_knows_of_a_console_and_tells_how_many_wait() {
    let mut bench = Bench::new(16);
    bench.memory.append();
    bench.run(2_000);
    bench.host.hold();
    for waiting in 1..=20 {
        bench.memory.append();
        bench.run(400);
        assert_eq!((bench.memory.acknowledged, bench.committed().len()), (1, 1));
        assert_eq!(bench.host.waiting(), waiting);
        assert!(bench.keypad.console_present(bench.now_ms - bench.started_ms));
    }
    // Started anew meanwhile it is greeted, and dated, and told again that nothing can be done.
    let anchors = |bench: &Bench| bench.count(|event| matches!(event, Event::Anchor { boot: 2, .. }));
    bench.reboot_keypad();
    bench.stop = true;
    bench.run(3_000);
    assert!(anchors(&bench) >= 2 && bench.host.waiting() == 20, "{} anchors", anchors(&bench));
    assert_eq!((bench.memory.acknowledged, bench.committed().len()), (1, 1));
    bench.stop = false;
    bench.host.restart(bench.now_ms);
    bench.run(4_000);
    bench.assert_complete();
}
