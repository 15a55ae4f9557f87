//! The whole device at the bench: keys, records in the book, acknowledged, freed, and the card back on the display.

use crate::board::{Board, HEADER_ROWS, same_below_header, warns};
use crate::rig::Console;
use crate::shop::{assert_whole, at_sizing, log};
use bevelbook_keypad::app::App;
use bevelbook_keypad::screen::{Canvas, Screen, graphics};
use bevelbook_tests::Shop;
use bevelbook_tests::emulator::{HEIGHT, Key, PATIENCE, Picture, WIDTH};
use std::time::Instant;

/// The board's brightness for off, dim and on, as the picture has it.
const SHADES: [u8; 3] = [0, 0xaa, 0xff];

/// Whether the display shows this screen, pixel for pixel, below its header.
pub(crate) fn shows(picture: &Picture, screen: &Screen) -> bool {
    let canvas: &mut Canvas = &mut Canvas::in_shades();
    graphics::draw(screen, canvas);
    let places = (HEADER_ROWS..HEIGHT).flat_map(|y| (0..WIDTH).map(move |x| (x, y)));
    places.into_iter().all(|(x, y)| SHADES[canvas.shade(x, y) as usize] == picture.at(x, y))
}

/// Waits until the book has all that the memory holds.
pub(crate) fn until_in_book(shop: &Shop, board: &Board) {
    let begun = Instant::now();
    let last = u64::from(board.memory().next()) - 1;
    while log(shop).last().and_then(|record| record["seq"].as_u64()) != Some(last) {
        assert!(begun.elapsed() < PATIENCE, "{:?}", log(shop));
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
}

#[test]
fn passes_come_into_the_book_and_the_next_size_comes_back() {
    let shop = at_sizing(1);
    let mut board = Board::begun();
    let nothing = board.picture().unwrap();
    let mut console = Console::start(&shop, board.port());
    console.until("connected, ");
    console.until("job 1 (");
    let list = board.until_other(&nothing);
    board.press(Key::Centre).unwrap();
    let mut before = board.until_other(&list);
    assert!(!warns(&before));
    for key in [Key::Up, Key::Right, Key::Right] {
        board.press(key).unwrap();
        before = board.until_other(&before);
        assert!(!warns(&before), "{before:?}");
    }
    console.until("much too big");
    console.until("a touch too big");
    console.until("a touch too big");
    until_in_book(&shop, &board);
    assert_whole(&shop, 3);
    let said: Vec<String> = log(&shop).iter().map(|record| record["says"].as_str().unwrap().into()).collect();
    assert!(said[0].contains("much too big") && said[2].contains("a touch too big"), "{said:?}");
    // The card that came back includes them; what stands there is what the library makes of that card.
    let begun = Instant::now();
    loop {
        let memory = board.memory();
        let app = App::new(memory, "copy");
        let picture = board.picture().unwrap();
        if shows(&picture, &app.screen(0)) && same_below_header(&picture, &before) {
            break;
        }
        assert!(begun.elapsed() < PATIENCE, "{picture:?}");
    }
    assert_eq!(console.end(), Some(0));
}
